"""The lines of evidence that findings of several families tell, as message keys."""

from decimal import Decimal

from scoring.rules import scale as scales
from scoring.rules import seen, threshold
from scoring.rules.finding import Message
from scoring.rules.risk_facts import Facts
from yards.rules import breeding, seasons


def scored(score: seen.Score) -> dict[str, str | int]:
    """Return an overall as reasons tell it: exact, to the nearest half, and on which scale."""
    if score.sixths is None or score.nearest is None:
        raise ValueError("a reading without an overall has none to tell")
    return {
        "overall": scales.shown_mean(score.sixths),
        "nearest": scales.shown(score.nearest),
        "scale": score.scale,
    }


def reading(facts: Facts, score: seen.Score) -> Message:
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


def overall(facts: Facts, score: seen.Score) -> Message:
    """Return one reading's nearest half and its day."""
    return Message(
        "scored_on",
        {"score": scales.shown(score.nearest or 0), "on": facts.day_of(score.at)},
    )


def weighed(facts: Facts, weight: seen.Weight) -> Message:
    """Return one weighing."""
    return Message(
        "weight_taken",
        {"kg": f"{weight.kg:.1f}", "on": facts.day_of(weight.at), "method": weight.method},
    )


def band(edges: seen.Edges) -> Message:
    """Return the edges of the band."""
    return Message(
        "band_is", {"low": points(edges.low), "high": points(edges.high), "scale": edges.scale}
    )


# A chance under the second is no certainty, so a second pair of hands is asked for; under the first
# the trend speaks against the reading.
_UNLIKELY, _LIKELY = 0.2, 0.8
_QUARTER = Decimal("0.25")


def how_sure(facts: Facts, score: seen.Score, limit: threshold.Bound | None) -> tuple[Message, ...]:
    """Return how likely the true overall has passed a limit on its scale, where there is a trend.

    By the level at which the nearest half reaches the limit. Short of certainty a second pair of
    hands is asked for; the haste stays as it is. Nothing is said of too few readings, nor by a
    trend that has gone on since the reading.
    """
    trend = facts.score_trend
    if limit is None or trend is None or trend.scale != score.scale or score != facts.palpated:
        return ()
    is_low = limit.side == threshold.AT_MOST
    below = trend.below(limit.value + _QUARTER if is_low else limit.value - _QUARTER)
    if below is None:
        return ()
    chance = below if is_low else 1 - below
    params: dict[str, str | int] = {
        "percent": min(99, max(1, round(100 * chance))),
        "limit": points(limit.value),
        "scale": score.scale,
    }
    said = (Message("limit_truly_passed", params),)
    if chance >= _LIKELY:
        return said
    return (*said, Message("near_the_limit" if chance > _UNLIKELY else "against_the_trend"))


def points(found: Decimal) -> str:
    """Return points as people write them: one place, two where a vet's band needs them."""
    return f"{found:.1f}" if found == round(found, 1) else f"{found:.2f}"


def rate(facts: Facts, trend: seen.Trend) -> Message:
    """Return the trend's rate with its 80% interval, and since when it counts."""
    if trend.rate is None or trend.rate_low is None or trend.rate_high is None:
        raise ValueError("a trend without a rate has none to tell")
    is_weight = trend.scale == "weight"
    params: dict[str, str | int] = {
        "rate": signed(trend.rate, is_weight),
        "low": signed(trend.rate_low, is_weight),
        "high": signed(trend.rate_high, is_weight),
        "on": facts.day_of(trend.since),
    }
    return Message("trend_of_weight" if is_weight else "trend_of_score", params)


def signed(found: float, is_weight: bool) -> str:
    """Return a rate with its sign: per cent to one place, points to two."""
    shown = f"{found:+.1f}" if is_weight else f"{found:+.2f}"
    return shown if float(shown) else shown[1:]


def size(found: float, is_weight: bool) -> str:
    """Return how large a rate is, whatever its sign."""
    return f"{abs(found):.1f}" if is_weight else f"{abs(found):.2f}"


def spring_days(facts: Facts) -> dict[str, str | int]:
    """Return the first and last day of the yard's own spring, if it has one."""
    held = seasons.spring_held(facts.hemisphere, facts.spring)
    return {} if held is None else {"spring_first": held.first, "spring_last": held.last}


def spring(facts: Facts) -> Message:
    """Return that it is spring in the yard, with that spring's own days."""
    named = seasons.named(facts.today, facts.hemisphere, facts.spring)
    years = named.years if named else ""
    return Message("yard_is_in_spring", {"years": years, **spring_days(facts)})


def laminitis_risks(facts: Facts) -> tuple[Message, ...]:
    """Return what is on record that adds to the risk of laminitis, the season apart."""
    told = {
        "risk_past_laminitis": facts.had_laminitis,
        "risk_endocrine": facts.has_hormonal_disease,
    }
    return tuple(Message(key) for key, holds in told.items() if holds)


def foal_and_milk(facts: Facts) -> tuple[Message, ...]:
    """Return that a mare is in foal or in milk, if she is."""
    told = {
        "risk_in_foal": facts.bred.in_foal == breeding.YES,
        "risk_in_milk": facts.bred.in_milk,
    }
    return tuple(Message(key) for key, holds in told.items() if holds)


def mare(facts: Facts) -> tuple[Message, ...]:
    """Return that a mare is in foal or in milk, or may be in foal: a loss counts for more then."""
    perhaps = facts.bred.in_foal == breeding.PERHAPS
    return (*foal_and_milk(facts), *((Message("risk_perhaps_in_foal"),) if perhaps else ()))


def no_starving(facts: Facts) -> Message:
    """Return what not to do with a fat animal; a mare that may be in foal needs a stricter word."""
    return Message("never_starve_a_mare" if mare(facts) else "never_starve")


def again_or(
    facts: Facts, score: seen.Score, rule: str, again: Message, advice: Message
) -> Message:
    """Return a rule's advice, or to score ``again`` first where its reading is old."""
    is_old = facts.days_since(score.at) > threshold.rule(rule)["stale_after_days"]
    return again if is_old else advice
