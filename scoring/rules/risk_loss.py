"""Losing fast by raw weights: over 15% in 60 days, and donkeys over 10 kg in a month.

What these rules do not know: whether two weights came from the same tape or the same hour, what a
mare lost by foaling, illness. They compare raw values and say so; nothing ever silences them, not a
change of instrument, nor foaling, nor the first week of a diet. Losing by the trend stands apart,
in ``risk_trend``.
"""

from datetime import timedelta
from decimal import ROUND_HALF_UP, Decimal

from scoring.rules import risk_evidence as told
from scoring.rules import seen, threshold
from scoring.rules.finding import Finding, Message
from scoring.rules.risk_facts import Facts

LOSING_FAST = "losing_fast"
_TENTH = Decimal("0.1")


def losing_fast(facts: Facts) -> Finding | None:
    """Return a finding for a loss by raw weights: over 15% in 60 days, donkeys over 10 kg a month.

    Raw means by any method: a change of tape can look like a loss, and the finding names both
    methods. No change of instrument, foaling or gap ever silences it.
    """
    if not facts.weights:
        return None
    last = facts.weights[-1]
    return _donkey_loss(facts, last) or _relative_loss(facts, last)


def _heaviest(facts: Facts, last: seen.Weight, within_days: int) -> seen.Weight:
    first = last.at - timedelta(days=within_days)
    return max((each for each in facts.weights if each.at >= first), key=lambda each: each.kg)


def _donkey_loss(facts: Facts, last: seen.Weight) -> Finding | None:
    limit = threshold.required(facts.thresholds, LOSING_FAST, "donkey", "kg_in_a_month")
    before = _heaviest(facts, last, limit.within_days or 0)
    if facts.species != "donkey" or not limit.holds(before.kg - last.kg):
        return None
    return _loss(facts, before, last, "losing_fast_donkey")


def _relative_loss(facts: Facts, last: seen.Weight) -> Finding | None:
    limit = threshold.required(facts.thresholds, LOSING_FAST, "weight", "percent_in_60_days")
    before = _heaviest(facts, last, limit.within_days or 0)
    # No division: exactly 15% is not more than 15%.
    if (before.kg - last.kg) * 100 <= limit.value * before.kg:
        return None
    return _loss(facts, before, last, "losing_fast")


def _loss(facts: Facts, before: seen.Weight, last: seen.Weight, key: str) -> Finding:
    lost = before.kg - last.kg
    percent = (lost * 100 / before.kg).quantize(_TENTH, rounding=ROUND_HALF_UP)
    params: dict[str, str | int] = {
        "lost_kg": f"{lost:.1f}",
        "percent": str(percent),
        "days": (last.at - before.at).days,
    }
    row = threshold.rule(LOSING_FAST)
    return Finding(
        rule=LOSING_FAST,
        severity=row["severity"],
        reason=Message(key, params),
        evidence=tuple(told.weighed(facts, each) for each in (before, last)),
        advice=Message("call_vet_today_losing"),
        what_not_to_do=Message("no_change_of_feed_before_vet"),
        source=row["source"],
        evidence_at=last.received_at,
        basis="weight",
    )
