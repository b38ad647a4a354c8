"""A plan off its track: what was signed and what the trend measures differ, and surely so.

What this rule does not know: whether the plan was fed as it was written, grazing, exercise, gut
fill. It never proposes another ration: the plan is the vet's.
"""

from scoring.rules import risk_evidence as told
from scoring.rules import risk_trend, seen, threshold
from scoring.rules.finding import Finding, Message
from scoring.rules.risk_facts import Facts

PLAN_OFF_TRACK = "plan_off_track"


def plan_off_track(facts: Facts) -> Finding | None:
    """Return a finding when the plan's rate lies outside the trend's 80% interval, and not nearly.

    Only once the plan has run for the threshold's days: the first week is gut fill, and a score
    answers within weeks at best. Act, not watch, when it goes faster than was signed.
    """
    plan, trend = facts.plan, _measured(facts)
    if plan is None or trend is None or trend.rate is None:
        return None
    apart = threshold.bound(facts.thresholds, PLAN_OFF_TRACK, plan.scale, _measure(plan))
    after = threshold.required(facts.thresholds, PLAN_OFF_TRACK, "days", "after_days")
    if apart is None or not after.holds((trend.at - plan.start).days):
        return None
    if _within(plan.rate, trend) or not apart.holds(abs(plan.rate - trend.rate)):
        return None
    return _found(facts, plan, trend)


def _measured(facts: Facts) -> seen.Trend | None:
    if facts.plan is None:
        return None
    if facts.plan.scale == risk_trend.WEIGHT:
        return risk_trend.weight_trend(facts)
    trend = risk_trend.score_trend(facts)
    return trend if trend is not None and trend.scale == facts.plan.scale else None


def _measure(plan: seen.Plan) -> str:
    is_weight = plan.scale == risk_trend.WEIGHT
    return "percent_a_week_apart" if is_weight else "points_a_month_apart"


def _within(rate: float, trend: seen.Trend) -> bool:
    low, high = trend.rate_low, trend.rate_high
    return low is not None and high is not None and low <= rate <= high


def _found(facts: Facts, plan: seen.Plan, trend: seen.Trend) -> Finding:
    row, is_weight = threshold.rule(PLAN_OFF_TRACK), plan.scale == risk_trend.WEIGHT
    found = trend.rate or 0.0
    # Further along the way the plan goes is too fast; a plan to stay as it is has no way.
    is_fast = (found - plan.rate) * plan.rate > 0
    params: dict[str, str | int] = {
        "planned": told.signed(plan.rate, is_weight),
        "found": told.signed(found, is_weight),
    }
    return Finding(
        rule=PLAN_OFF_TRACK,
        severity=row["severity_at_risk"] if is_fast else row["severity"],
        reason=Message("plan_of_weight" if is_weight else "plan_of_score", params),
        evidence=(
            told.rate(facts, trend),
            Message("plan_since", {"on": facts.day_of(plan.start)}),
        ),
        advice=Message("plan_too_fast" if is_fast else "plan_review_with_vet"),
        what_not_to_do=Message("no_change_of_plan_before_vet"),
        source=row["source"],
        evidence_at=risk_trend.known_at(facts, trend),
        basis="plan",
    )
