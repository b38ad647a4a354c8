"""Nobody looked: what is past its day by the yard's calendar, and what was never scored at all.

What these rules do not know: what was seen and written down elsewhere.
"""

from datetime import datetime

from scoring.rules import due, threshold
from scoring.rules.finding import Finding, Message
from scoring.rules.risk_facts import Facts

OVERDUE, NEVER_SCORED = "overdue", "never_scored"


def overdue(facts: Facts) -> Finding | None:
    """Return one finding for all that is overdue, with how many days the longest has waited.

    Act, not watch, when nobody gave an emaciated animal its daily look; others are asked none.
    """
    asked: dict[str, datetime | None] = {
        "score": facts.score_due_at,
        "weight": facts.weight_due_at,
        "check": facts.check_due_at,
    }
    late = {
        what: at
        for what, at in asked.items()
        if at is not None and due.state(at, facts.now, facts.zone) == due.OVERDUE
    }
    if not late:
        return None
    row, unseen = threshold.rule(OVERDUE), "check" in late
    days = max(facts.days_since(at) for at in late.values())
    return Finding(
        rule=OVERDUE,
        severity=row["severity_at_risk"] if unseen else row["severity"],
        reason=Message("overdue", {"what": ",".join(late), "days": days}),
        evidence=tuple(
            Message("was_due_on", {"what": what, "on": facts.day_of(at)})
            for what, at in late.items()
        ),
        advice=Message("look_now" if unseen else "look_again_soon"),
        what_not_to_do=Message(
            "no_change_of_feed_before_vet" if unseen else "do_not_guess_a_score"
        ),
        source=row["source"],
        evidence_at=facts.now,
        basis="lateness",
    )


def never_scored(facts: Facts) -> Finding | None:
    """Return a finding when an animal has been here for days and nobody has felt it since it came.

    A reading that was only seen, or left no overall, does not count: nothing can be compared with
    it.
    """
    came, last = facts.arrived_at, facts.palpated
    if came is None:
        return None
    days = facts.days_since(came)
    limit = threshold.required(facts.thresholds, NEVER_SCORED, "days", "after_days")
    is_scored = last is not None and facts.days_since(last.at) <= days
    if is_scored or not limit.holds(days):
        return None
    row = threshold.rule(NEVER_SCORED)
    return Finding(
        rule=NEVER_SCORED,
        severity=row["severity"],
        reason=Message("never_scored", {"days": days}),
        evidence=(Message("came_on", {"on": facts.day_of(came)}),),
        advice=Message("score_the_new_animal"),
        what_not_to_do=Message("do_not_guess_a_score"),
        source=row["source"],
        evidence_at=facts.now,
        basis="lateness",
    )
