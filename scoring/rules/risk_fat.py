"""Too fat: in spring, at any time, or above the target band.

What these rules do not know: grazing, exercise, insulin, feet. A fat score is a reason to ask the
vet about the risk of laminitis; it is not laminitis. Only palpated scores count: coats deceive.
Scores above 6 of 9 hardly follow true fat (Dugdale et al. 2011, EVJ), so no rule tells 7 from 9.
"""

from datetime import UTC, datetime, time

from scoring.rules import risk_evidence as told
from scoring.rules import scale as scales
from scoring.rules import seen, threshold
from scoring.rules.finding import Finding, Message
from scoring.rules.risk_facts import Facts
from yards.rules import daytime, seasons

FAT_IN_SPRING, FAT, ABOVE_BAND = "fat_in_spring", "fat", "above_band"
_AGAIN = Message("score_again_first")


def _fat(facts: Facts, name: str) -> seen.Score | None:
    """Return the newest palpated score if it is fat by a rule's threshold."""
    score = facts.palpated
    if score is None:
        return None
    limit = facts.bound(name, score.scale, "overall")
    return score if limit is not None and limit.holds(score.points) else None


def _sure(facts: Facts, score: seen.Score, name: str) -> tuple[Message, ...]:
    return told.how_sure(facts, score, facts.bound(name, score.scale, "overall"))


def fat_in_spring(facts: Facts) -> Finding | None:
    """Return a finding when the newest palpated overall is fat and it is spring in that yard."""
    score = _fat(facts, FAT_IN_SPRING)
    if score is None or not facts.in_spring:
        return None
    row, advice = threshold.rule(FAT_IN_SPRING), Message("call_vet_laminitis_risk")
    return Finding(
        rule=FAT_IN_SPRING,
        severity=row["severity"],
        reason=Message("fat_in_spring", _params(score) | told.spring_days(facts)),
        evidence=(
            told.reading(facts, score),
            told.spring(facts),
            *_sure(facts, score, FAT_IN_SPRING),
        ),
        advice=told.again_or(facts, score, FAT_IN_SPRING, _AGAIN, advice),
        what_not_to_do=told.no_starving(facts),
        source=row["source"],
        evidence_at=max(score.received_at, _spring_began(facts)),
        basis="score",
    )


def fat(facts: Facts) -> Finding | None:
    """Return a finding when the newest palpated overall is fat, whatever the season.

    Act, not watch, when laminitis or a hormonal disease is on record.
    """
    score = _fat(facts, FAT)
    if score is None:
        return None
    row, risks = threshold.rule(FAT), told.laminitis_risks(facts)
    advice = Message("call_vet_laminitis_risk" if risks else "ask_vet_about_fat")
    return Finding(
        rule=FAT,
        severity=row["severity_at_risk"] if risks else row["severity"],
        reason=Message("fat", _params(score)),
        evidence=(told.reading(facts, score), *_sure(facts, score, FAT), *risks),
        advice=told.again_or(facts, score, FAT, _AGAIN, advice),
        what_not_to_do=told.no_starving(facts),
        source=row["source"],
        evidence_at=score.received_at,
        basis="score",
    )


def above_band(facts: Facts) -> Finding | None:
    """Return a finding when the newest palpated overall, to the nearest half, tops the band."""
    score, edges = facts.palpated, facts.edges
    if score is None or edges is None or score.points is None or edges.scale != score.scale:
        return None
    limit = facts.bound(ABOVE_BAND, score.scale, "above_high_edge")
    if limit is None or not limit.holds(score.points - edges.high):
        return None
    row = threshold.rule(ABOVE_BAND)
    return Finding(
        rule=ABOVE_BAND,
        severity=row["severity"],
        reason=Message("above_band", told.scored(score)),
        evidence=(told.reading(facts, score), told.band(edges)),
        advice=Message("look_at_feed_with_vet"),
        what_not_to_do=told.no_starving(facts),
        source=row["source"],
        evidence_at=score.received_at,
        basis="score",
    )


def _params(score: seen.Score) -> dict[str, str | int]:
    regions = ",".join(score.used.fattest()) if score.scale == scales.FIVE else ""
    return {**told.scored(score), "regions": regions}


def _spring_began(facts: Facts) -> datetime:
    first = seasons.spring_began(facts.today, facts.hemisphere, facts.spring)
    if first is None:
        return datetime.min.replace(tzinfo=UTC)
    return daytime.at_local(first, time(0), facts.zone)
