"""Losing fast by raw weights: over 15% in 60 days, and donkeys over 10 kg in a month.

An animal that was not weighed for longer is compared with the last weighing before that time, pro
rata (chosen here: the sources say nothing of longer times, and no loss ends on a day).

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
ESTIMATE = "estimate"
_TENTH = Decimal("0.1")
_NO_CHANGE = Message("no_change_of_feed_before_vet")


def losing_fast(facts: Facts) -> Finding | None:
    """Return a finding for a loss by raw weights: over 15% in 60 days, donkeys over 10 kg a month.

    Raw means by any method: a change of tape can look like a loss, and the finding names both
    methods. No change of instrument, foaling or gap ever silences it. The heaviest weighing within
    the time counts whole, the last one before it for the share of that time in the time between.
    """
    if not facts.weights:
        return None
    last = facts.weights[-1]
    return _donkey_loss(facts, last) or _relative_loss(facts, last)


def is_judged(facts: Facts) -> bool:
    """Return whether the weights are enough to say that a loss is over.

    Not by a guess, nor by one weighing that has none to stand beside within the 60 days.
    """
    if not facts.weights or facts.weights[-1].method == ESTIMATE:
        return False
    within, _ = _parted(facts, _limit(facts).within_days or 0)
    return len(within) > 1


def _limit(facts: Facts) -> threshold.Bound:
    return threshold.required(facts.thresholds, LOSING_FAST, "weight", "percent_in_60_days")


def _parted(facts: Facts, days: int) -> tuple[list[seen.Weight], list[seen.Weight]]:
    """Return the weighings of so many days up to the last one, and those before them."""
    first = facts.weights[-1].at - timedelta(days=days)
    within = [each for each in facts.weights if each.at >= first]
    return within, [each for each in facts.weights if each.at < first]


def _compared(facts: Facts, days: int) -> list[tuple[seen.Weight, Decimal]]:
    """Return which weighings the last one is held against, and what share of a loss counts."""
    within, before = _parted(facts, days)
    found = [(max(within, key=lambda each: each.kg), Decimal(1))]
    for each in before[-1:]:
        share = timedelta(days=days) / (facts.weights[-1].at - each.at)
        found.append((each, Decimal(share)))
    return found


def _donkey_loss(facts: Facts, last: seen.Weight) -> Finding | None:
    if facts.species != "donkey":
        return None
    limit = threshold.required(facts.thresholds, LOSING_FAST, "donkey", "kg_in_a_month")
    for before, share in _compared(facts, limit.within_days or 0):
        if limit.holds((before.kg - last.kg) * share):
            return _loss(facts, before, last, "losing_fast_donkey")
    return None


def _relative_loss(facts: Facts, last: seen.Weight) -> Finding | None:
    limit = _limit(facts)
    for before, share in _compared(facts, limit.within_days or 0):
        # No division: exactly 15% is not more than 15%.
        if (before.kg - last.kg) * 100 * share > limit.value * before.kg:
            return _loss(facts, before, last, "losing_fast")
    return None


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
        evidence=(*(told.weighed(facts, each) for each in (before, last)), *told.mare(facts)),
        advice=Message("call_vet_today_losing"),
        what_not_to_do=told.no_starving(facts) if told.mare(facts) else _NO_CHANGE,
        source=row["source"],
        evidence_at=last.received_at,
        basis="weight",
    )
