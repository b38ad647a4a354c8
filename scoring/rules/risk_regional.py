"""Fat in one place: a raised crest, however lean the body, and a region far above the others.

What these rules do not know: insulin, feet, a stallion's natural crest, muscle, and which of two
hands felt the region right. Neither is a diagnosis. Only palpated scores count.
"""

from decimal import Decimal

from scoring.rules import risk_evidence as told
from scoring.rules import scale as scales
from scoring.rules import threshold
from scoring.rules.finding import Finding, Message
from scoring.rules.risk_facts import Facts

CREST_RAISED, REGION_FAR_ABOVE = "crest_raised", "region_far_above"
_AGAIN = Message("feel_crest_again_first")


def crest_raised(facts: Facts) -> Finding | None:
    """Return a finding for a cresty neck, however lean the body.

    Act, not watch, when something else adds to the risk of laminitis: spring in the yard, laminitis
    on record, or a suspected or confirmed hormonal disease.
    """
    score = facts.crest
    if score is None or score.crest is None or not score.is_palpated:
        return None
    limit = facts.bound(CREST_RAISED, scales.CREST, "crest")
    if limit is None or not limit.holds(scales.points(score.crest)):
        return None
    row = threshold.rule(CREST_RAISED)
    spring = (Message("risk_spring", told.spring_days(facts)),) if facts.in_spring else ()
    at_risk = (*spring, *told.laminitis_risks(facts))
    advice = Message("call_vet_laminitis_risk" if at_risk else "ask_vet_about_crest")
    return Finding(
        rule=CREST_RAISED,
        severity=row["severity_at_risk"] if at_risk else row["severity"],
        reason=Message("crest_raised", {"crest": scales.shown(score.crest)}),
        evidence=(told.reading(facts, score), *at_risk),
        advice=told.again_or(facts, score, CREST_RAISED, _AGAIN, advice),
        what_not_to_do=told.no_starving(facts),
        source=row["source"],
        evidence_at=score.received_at,
        basis="crest",
    )


def region_far_above(facts: Facts) -> Finding | None:
    """Return a finding when a region, after the pocket, lies far above the overall and is fat.

    The fattest region against the overall to the nearest half, as all thresholds are, so that a
    region five sixths above the exact mean may count as a point above; on ``five`` only.
    """
    score = facts.palpated
    if score is None or score.points is None:
        return None
    above = facts.bound(REGION_FAR_ABOVE, score.scale, "above_overall")
    itself = facts.bound(REGION_FAR_ABOVE, score.scale, "region")
    if above is None or itself is None:
        return None
    fattest = score.used.fattest()
    region = scales.points(score.used.by_region()[fattest[0]]) if fattest else None
    if region is None or not (above.holds(region - score.points) and itself.holds(region)):
        return None
    row = threshold.rule(REGION_FAR_ABOVE)
    return Finding(
        rule=REGION_FAR_ABOVE,
        severity=row["severity"],
        reason=Message("region_far_above", _params(fattest, region, score.points)),
        evidence=(told.reading(facts, score),),
        advice=Message("feel_the_region_again"),
        what_not_to_do=told.no_starving(facts),
        source=row["source"],
        evidence_at=score.received_at,
        basis="score",
    )


def _params(names: tuple[str, ...], region: Decimal, overall: Decimal) -> dict[str, str | int]:
    return {
        "regions": ",".join(names),
        "score": f"{region:.1f}",
        "nearest": f"{overall:.1f}",
        "above": f"{region - overall:.1f}",
    }
