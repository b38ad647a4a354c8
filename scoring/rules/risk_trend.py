"""Losing and gaining fast by the trend: rates with their 80% intervals, never two raw readings.

What these rules do not know: illness, feed, grazing, muscle, gut fill. Left out, because each looks
like a loss and is none: foaling, a change of instrument without a reading by both, and the first
week of a planned diet (Dugdale et al. 2010, EVJ: 4.3% in the first week, mostly gut fill). A trend
begins anew at each of them (``baseline``); one that was joined over a foaling or the first week of
the plan is not judged here. The raw rules of ``risk_loss`` leave nothing out.
"""

from collections.abc import Iterable
from datetime import datetime, timedelta

from scoring.rules import baseline, seen, threshold
from scoring.rules import risk_evidence as told
from scoring.rules.finding import Finding, Message
from scoring.rules.risk_facts import Facts
from yards.rules import breeding, life_stage

LOSING_WEIGHT, LOSING_SCORE, GAINING_FAST = "losing_weight", "losing_score", "gaining_fast"
WEIGHT = "weight"


def weight_trend(facts: Facts) -> seen.Trend | None:
    """Return the trend of weights if it may be judged: enough readings, and nothing left out."""
    trend, plan = facts.weight_trend, facts.plan
    if trend is None or not trend.enough:
        return None
    diets = baseline.of_diets([plan.start] if plan is not None else [])
    if _is_broken(trend, (*_foalings(facts), *diets)):
        return None
    week = timedelta(days=baseline.DIET_WEEK_DAYS)
    is_first_week = plan is not None and plan.start <= trend.at < plan.start + week
    return None if is_first_week else trend


def score_trend(facts: Facts) -> seen.Trend | None:
    """Return the trend of scores if it may be judged: enough readings, none before a foaling."""
    trend = facts.score_trend
    if trend is None or not trend.enough or _is_broken(trend, _foalings(facts)):
        return None
    return trend


def _foalings(facts: Facts) -> tuple[baseline.Reset, ...]:
    return baseline.of_foalings([facts.foaled_at] if facts.foaled_at is not None else [])


def _is_broken(trend: seen.Trend, resets: Iterable[baseline.Reset]) -> bool:
    """Return whether readings on both sides of a break were joined in the trend."""
    return any(trend.since < reset.at <= trend.at for reset in resets)


def left_out(facts: Facts) -> bool:
    """Return whether a trend with readings enough may not be judged now; it clears nothing then."""
    weight, score = facts.weight_trend, facts.score_trend
    return bool(
        (weight is not None and weight.enough and weight_trend(facts) is None)
        or (score is not None and score.enough and score_trend(facts) is None)
    )


def losing_weight(facts: Facts) -> Finding | None:
    """Return a finding for a loss above 1% a week that is sure, or above 2% that is likely.

    Sure: the whole 80% interval lies beyond. Likely: the rate lies beyond and the interval is all
    loss.
    """
    trend = weight_trend(facts)
    if trend is None or trend.rate is None or trend.rate_high is None:
        return None
    own = facts.thresholds
    sustained = threshold.required(own, LOSING_WEIGHT, WEIGHT, "percent_a_week_sustained")
    any_week = threshold.required(own, LOSING_WEIGHT, WEIGHT, "percent_a_week")
    least = -trend.rate_high
    if not (sustained.holds(least) or (any_week.holds(-trend.rate) and least > 0)):
        return None
    return _loss(facts, trend, LOSING_WEIGHT, Message("losing_weight", _percent(trend)))


def losing_score(facts: Facts) -> Finding | None:
    """Return a finding for a fall of the score that is fast and surely one, unless it is planned.

    A plan for this scale excuses what it asks for and no more than nearly that. One for the weight
    excuses a fall of the score only while the weights have a trend, which says how fast it goes.
    """
    trend = score_trend(facts)
    if trend is None or trend.rate is None or trend.rate_high is None or _is_planned(facts, trend):
        return None
    limit = facts.bound(LOSING_SCORE, trend.scale, "points_a_month")
    if limit is None or not limit.holds(-trend.rate) or trend.rate_high >= 0:
        return None
    return _loss(facts, trend, LOSING_SCORE, Message("losing_score", _points(trend)))


def _is_planned(facts: Facts, trend: seen.Trend) -> bool:
    """Return whether a plan to slim asks for such a fall of the score; scales do not convert."""
    plan = facts.plan
    if plan is None or plan.rate >= 0:
        return False
    if plan.scale == WEIGHT:
        return weight_trend(facts) is not None
    nearly = facts.bound("plan_off_track", trend.scale, "points_a_month_apart")
    if plan.scale != trend.scale or trend.rate is None or nearly is None:
        return False
    return not nearly.holds(plan.rate - trend.rate)


def gaining_fast(facts: Facts) -> Finding | None:
    """Return a finding for a gain that is fast and surely one.

    Not below the band, where it is wanted; not by weight while an animal grows or a mare is in
    foal.
    """
    if _is_below(facts):
        return None
    return _gaining_weight(facts) or _gaining_score(facts)


def _is_below(facts: Facts) -> bool:
    score, edges = facts.palpated, facts.edges
    if score is None or edges is None or score.points is None or score.scale != edges.scale:
        return False
    return score.points < edges.low


def _grows(facts: Facts) -> bool:
    """Return whether weight may come of growth, its own or a foal's."""
    may_grow = facts.stage.if_younger in life_stage.GROWING or facts.use == "youngster"
    return may_grow or facts.bred.in_foal != breeding.NO


def _gaining_weight(facts: Facts) -> Finding | None:
    trend = weight_trend(facts)
    limit = threshold.required(facts.thresholds, GAINING_FAST, WEIGHT, "percent_a_week_sustained")
    if trend is None or _grows(facts) or not limit.holds(trend.rate_low):
        return None
    return _gain(facts, trend, Message("gaining_weight", _percent(trend)))


def _gaining_score(facts: Facts) -> Finding | None:
    trend = score_trend(facts)
    if trend is None or trend.rate_low is None or trend.rate_low <= 0:
        return None
    limit = facts.bound(GAINING_FAST, trend.scale, "points_a_month")
    if limit is None or not limit.holds(trend.rate):
        return None
    return _gain(facts, trend, Message("gaining_score", _points(trend)))


def _percent(trend: seen.Trend) -> dict[str, str | int]:
    return {"percent": told.size(trend.rate or 0.0, is_weight=True)}


def _points(trend: seen.Trend) -> dict[str, str | int]:
    return {"points": told.size(trend.rate or 0.0, is_weight=False), "scale": trend.scale}


def _gain(facts: Facts, trend: seen.Trend, reason: Message) -> Finding:
    row = threshold.rule(GAINING_FAST)
    return Finding(
        rule=GAINING_FAST,
        severity=row["severity"],
        reason=reason,
        evidence=(told.rate(facts, trend), *told.laminitis_risks(facts)),
        advice=Message("ask_vet_about_gain"),
        what_not_to_do=told.no_starving(facts),
        source=row["source"],
        evidence_at=known_at(facts, trend),
        basis=basis(trend),
    )


def _loss(facts: Facts, trend: seen.Trend, name: str, reason: Message) -> Finding:
    row = threshold.rule(name)
    return Finding(
        rule=name,
        severity=row["severity"],
        reason=reason,
        evidence=(told.rate(facts, trend),),
        advice=Message("losing_by_trend"),
        what_not_to_do=Message("no_change_of_feed_before_vet"),
        source=row["source"],
        evidence_at=known_at(facts, trend),
        basis=basis(trend),
    )


def known_at(facts: Facts, trend: seen.Trend) -> datetime:
    """Return when we came to know the last reading that a trend rests on."""
    if trend.scale == WEIGHT:
        return max((each.received_at for each in facts.weights), default=trend.at)
    return facts.palpated.received_at if facts.palpated is not None else trend.at


def basis(trend: seen.Trend) -> str:
    """Return the kind of evidence that a trend is: of weights, or of scores over time."""
    return "weight" if trend.scale == WEIGHT else "scores"
