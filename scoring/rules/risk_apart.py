"""Two assessors a full point apart within days: too soon for the animal to have changed.

What this rule does not know: which of the two is right, and how each hand errs. Both scores stay.
"""

from datetime import timedelta

from scoring.rules import risk_evidence as told
from scoring.rules import scale as scales
from scoring.rules import seen, threshold
from scoring.rules.finding import Finding, Message
from scoring.rules.risk_facts import Facts

ASSESSORS_APART = "assessors_apart"


def assessors_apart(facts: Facts) -> Finding | None:
    """Return a finding when another assessor's palpated overall lies far from the newest one.

    By the nearest half, on the same scale; of several the one furthest off.
    """
    last = facts.palpated
    if last is None or last.points is None:
        return None
    limit = facts.bound(ASSESSORS_APART, last.scale, "apart")
    others = [each for each in facts.recent if _is_other(facts, last, each)]
    other = max(others, key=lambda each: _apart(last, each), default=None)
    if limit is None or other is None or not limit.holds(scales.points(_apart(last, other))):
        return None
    row = threshold.rule(ASSESSORS_APART)
    pair = sorted((other, last), key=lambda each: each.at)
    params: dict[str, str | int] = {
        "one": scales.shown(pair[0].nearest or 0),
        "other": scales.shown(pair[1].nearest or 0),
        "scale": last.scale,
    }
    return Finding(
        rule=ASSESSORS_APART,
        severity=row["severity"],
        reason=Message("assessors_apart", params),
        evidence=tuple(told.overall(facts, each) for each in pair),
        advice=Message("score_together"),
        what_not_to_do=Message("keep_both_scores"),
        source=row["source"],
        evidence_at=max(last.received_at, other.received_at),
        basis="agreement",
    )


def _is_other(facts: Facts, last: seen.Score, each: seen.Score) -> bool:
    within = threshold.required(facts.thresholds, ASSESSORS_APART, "days", "within_days")
    return (
        None not in (each.by, last.by)
        and each.by != last.by
        and each.is_palpated
        and each.scale == last.scale
        and each.nearest is not None
        and abs(last.at - each.at) <= timedelta(days=int(within.value))
    )


def _apart(one: seen.Score, other: seen.Score) -> int:
    return abs((one.nearest or 0) - (other.nearest or 0))
