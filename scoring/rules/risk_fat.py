"""Too fat: in spring, and a raised crest even on a lean body.

What these rules do not know: grazing, exercise, insulin, feet. A fat score is a reason to ask the
vet about the risk of laminitis; it is not laminitis. Only palpated scores count: coats deceive.
"""

from datetime import UTC, datetime, time

from scoring.rules import scale as scales
from scoring.rules import seen, threshold
from scoring.rules.finding import Finding, Message
from scoring.rules.risk_facts import Facts
from yards.rules import daytime, seasons

FAT_IN_SPRING, CREST_RAISED = "fat_in_spring", "crest_raised"
_PAST_LAMINITIS = frozenset({"past", "within_a_year"})
_ENDOCRINE = frozenset({"suspected", "confirmed"})


def fat_in_spring(facts: Facts) -> Finding | None:
    """Return a finding when the newest palpated overall is fat and it is spring in that yard."""
    score = facts.palpated
    if score is None or not facts.in_spring or score.sixths is None or score.nearest is None:
        return None
    limit = threshold.of_score(FAT_IN_SPRING, score.scale)
    if limit is None or not limit.holds(score.nearest):
        return None
    row = threshold.rule(FAT_IN_SPRING)
    is_old = facts.days_since(score.at) > row["stale_after_days"]
    params: dict[str, str | int] = {
        "overall": scales.shown_mean(score.sixths),
        "nearest": scales.shown(score.nearest),
        "regions": ",".join(score.used.fattest()) if score.scale == scales.FIVE else "",
        "scale": score.scale,
    }
    return Finding(
        rule=FAT_IN_SPRING,
        severity=row["severity"],
        reason=Message("fat_in_spring", params),
        evidence=(evidence_of(facts, score), _season(facts)),
        advice=Message("score_again_first" if is_old else "call_vet_laminitis_risk"),
        what_not_to_do=Message("never_starve"),
        source=row["source"],
        evidence_at=max(score.received_at, _spring_began(facts)),
    )


def evidence_of(facts: Facts, score: seen.Score) -> Message:
    """Return which reading a finding rests on, and how old it is."""
    return Message(
        "reading_taken",
        {
            "on": facts.day_of(score.at),
            "days": facts.days_since(score.at),
            "manner": score.manner,
            "scale": score.scale,
        },
    )


def _season(facts: Facts) -> Message:
    named = seasons.named(facts.today, facts.hemisphere, facts.spring)
    return Message("yard_is_in_spring", {"years": named.years if named else ""})


def _spring_began(facts: Facts) -> datetime:
    first = seasons.spring_began(facts.today, facts.hemisphere, facts.spring)
    if first is None:
        return datetime.min.replace(tzinfo=UTC)
    return daytime.at_local(first, time(0), facts.zone)


def crest_raised(facts: Facts) -> Finding | None:
    """Return a finding for a cresty neck, however lean the body.

    Act, not watch, when something else adds to the risk of laminitis: spring in the yard, laminitis
    before, or an endocrine disease known or suspected. By itself a crest changes over weeks.
    """
    score = facts.crest
    if score is None or score.crest is None or not score.is_palpated:
        return None
    limit = threshold.of_score(CREST_RAISED, scales.CREST, "crest")
    if limit is None or not limit.holds(score.crest):
        return None
    row = threshold.rule(CREST_RAISED)
    at_risk = _adds_risk(facts)
    return Finding(
        rule=CREST_RAISED,
        severity=row["severity_at_risk"] if at_risk else row["severity"],
        reason=Message("crest_raised", {"crest": scales.shown(score.crest)}),
        evidence=(evidence_of(facts, score), *(Message(key) for key in at_risk)),
        advice=Message("call_vet_laminitis_risk" if at_risk else "ask_vet_about_crest"),
        what_not_to_do=Message("never_starve"),
        source=row["source"],
        evidence_at=score.received_at,
    )


def _adds_risk(facts: Facts) -> tuple[str, ...]:
    told = {
        "risk_spring": facts.in_spring,
        "risk_past_laminitis": facts.laminitis in _PAST_LAMINITIS,
        "risk_endocrine": facts.endocrine in _ENDOCRINE,
    }
    return tuple(key for key, holds in told.items() if holds)
