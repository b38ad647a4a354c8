"""Too thin: emaciated, which protects life and is never switched off, and losing weight fast.

What these rules do not know: illness, teeth, worms, age, pregnancy, when the animal last ate. An
emaciated animal can be harmed by its first feed: the vet comes before any change of feed. No feed
amount is ever given here.
"""

from datetime import timedelta
from decimal import ROUND_HALF_UP, Decimal

from scoring.rules import risk_fat, seen, threshold
from scoring.rules import scale as scales
from scoring.rules.finding import Finding, Message
from scoring.rules.risk_facts import Facts

EMACIATED, LOSING_FAST = "emaciated", "losing_fast"
_TENTH = Decimal("0.1")


def _overall_is(score: seen.Score) -> bool:
    limit = threshold.of_score(EMACIATED, score.scale)
    return limit is not None and limit.holds(score.nearest)


def _region_is(score: seen.Score) -> tuple[str, int] | None:
    limit = threshold.of_score(EMACIATED, score.scale, "region")
    thinnest = score.thinnest
    return thinnest if limit and thinnest and limit.holds(thinnest[1]) else None


def is_emaciated(score: seen.Score) -> bool:
    """Return whether a reading, felt or only seen, whole or in part, is emaciated on its scale."""
    return _overall_is(score) or _region_is(score) is not None


def emaciated(facts: Facts) -> Finding | None:
    """Return a finding when the newest reading that says anything of fat is emaciated.

    It reads visual-only and partial records too. A newest record without any score hides nothing:
    the last palpated one is judged then.
    """
    score = facts.newest if facts.newest and facts.newest.says_something else facts.palpated
    if score is None or not is_emaciated(score):
        return None
    row = threshold.rule(EMACIATED)
    return Finding(
        rule=EMACIATED,
        severity=row["severity"],
        reason=_reason(score),
        evidence=(risk_fat.evidence_of(facts, score),),
        advice=Message("vet_before_feeding"),
        what_not_to_do=Message("no_feed_before_vet"),
        source=row["source"],
        evidence_at=score.received_at,
    )


def _reason(score: seen.Score) -> Message:
    if _overall_is(score) and score.nearest is not None and score.sixths is not None:
        overall, nearest = scales.shown_mean(score.sixths), scales.shown(score.nearest)
        return Message(
            "emaciated_overall", {"overall": overall, "nearest": nearest, "scale": score.scale}
        )
    region, halves = _region_is(score) or ("", 0)
    return Message("emaciated_region", {"region": region, "score": scales.shown(halves)})


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
    limit = threshold.of_loss("donkey")
    before = _heaviest(facts, last, limit.within_days)
    if facts.species != "donkey" or before.kg - last.kg <= limit.more_than:
        return None
    return _loss(facts, before, last, "losing_fast_donkey")


def _relative_loss(facts: Facts, last: seen.Weight) -> Finding | None:
    limit = threshold.of_loss("weight")
    before = _heaviest(facts, last, limit.within_days)
    if (before.kg - last.kg) * 100 <= limit.more_than * before.kg:
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
        evidence=tuple(_weighed(facts, each) for each in (before, last)),
        advice=Message("call_vet_today_losing"),
        what_not_to_do=Message("no_change_of_feed_before_vet"),
        source=row["source"],
        evidence_at=last.received_at,
    )


def _weighed(facts: Facts, weight: seen.Weight) -> Message:
    return Message(
        "weight_taken",
        {"kg": f"{weight.kg:.1f}", "on": facts.day_of(weight.at), "method": weight.method},
    )
