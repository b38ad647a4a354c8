"""Nobody looked: a score, a weight or a daily check is past its day by the yard's calendar."""

from datetime import datetime

from scoring.rules import due, threshold
from scoring.rules.finding import Finding, Message
from scoring.rules.risk_facts import Facts

OVERDUE = "overdue"


def overdue(facts: Facts) -> Finding | None:
    """Return one finding for all that is overdue, with how many days the longest has waited."""
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
    row = threshold.rule(OVERDUE)
    days = max(facts.days_since(at) for at in late.values())
    return Finding(
        rule=OVERDUE,
        severity=row["severity"],
        reason=Message("overdue", {"what": ",".join(late), "days": days}),
        evidence=tuple(
            Message("was_due_on", {"what": what, "on": facts.day_of(at)})
            for what, at in late.items()
        ),
        advice=Message("look_again_soon"),
        what_not_to_do=Message("do_not_guess_a_score"),
        source=row["source"],
        evidence_at=facts.now,
    )
