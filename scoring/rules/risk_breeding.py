"""A mare in foal or in milk that loses condition: sooner told than any other, and never dieted.

What this rule does not know: illness, how much milk she gives, how the foal grows, her feed. Early
in milk some loss is ordinary; whether this one is, the vet says.
"""

from scoring.rules import risk_evidence as told
from scoring.rules import risk_trend, seen, threshold
from scoring.rules.finding import Finding, Message
from scoring.rules.risk_facts import Facts

LOSS_IN_FOAL_OR_MILK = "loss_in_foal_or_milk"


def loss_in_foal_or_milk(facts: Facts) -> Finding | None:
    """Return a finding when a mare in foal or in milk surely loses, by weight or else by score.

    One that was covered and not found empty since may be in foal, and counts as if she were.
    Surely: the rate's whole 80% interval is loss. Foaling itself begins a new baseline and is left
    out.
    """
    if not told.mare(facts):
        return None
    by_weight, by_score = risk_trend.weight_trend(facts), risk_trend.score_trend(facts)
    if by_weight is not None and _loses(facts, by_weight, "percent_a_week"):
        percent = told.size(by_weight.rate or 0.0, is_weight=True)
        return _found(facts, by_weight, Message("mare_loses_weight", {"percent": percent}))
    if by_score is not None and _loses(facts, by_score, "points_a_month"):
        points = told.size(by_score.rate or 0.0, is_weight=False)
        reason = Message("mare_loses_score", {"points": points, "scale": by_score.scale})
        return _found(facts, by_score, reason)
    return None


def _loses(facts: Facts, trend: seen.Trend, measure: str) -> bool:
    limit = facts.bound(LOSS_IN_FOAL_OR_MILK, trend.scale, measure)
    if limit is None or trend.rate is None or trend.rate_high is None:
        return False
    return limit.holds(-trend.rate) and trend.rate_high < 0


def _found(facts: Facts, trend: seen.Trend, reason: Message) -> Finding:
    row = threshold.rule(LOSS_IN_FOAL_OR_MILK)
    return Finding(
        rule=LOSS_IN_FOAL_OR_MILK,
        severity=row["severity"],
        reason=reason,
        evidence=(told.rate(facts, trend), *told.mare(facts)),
        advice=Message("call_vet_today_mare"),
        what_not_to_do=Message("never_starve_a_mare"),
        source=row["source"],
        evidence_at=risk_trend.known_at(facts, trend),
        basis=risk_trend.basis(trend),
    )
