"""The yard's morning look at the calendar: at 06:00 yard time, or at once when its seasons change.

Nobody touches a horse, and still spring begins, a score falls due, a day becomes overdue. One
transaction and a fixed number of queries a yard, however many horses.
"""

from collections.abc import Sequence
from datetime import datetime

from django.db.models import Max

from scoring.actions import ending, episodes, fitting, reminding, subjects, timer_rows
from scoring.actions import standing as settling
from scoring.models import Standing, Timer, VetOrder
from scoring.queries import own_rules, yard_evidence
from scoring.rules import risk
from yards import audit
from yards.models import Yard
from yards.rules import daytime
from yards.rules.roles import Viewer

# What a look at the calendar can tell; danger signs are judged when somebody sees them.
RULES = frozenset(risk.RULES) - {"danger_signs"}


def ensure_sweep(viewer: Viewer, yard: Yard, now: datetime) -> None:
    """Let the yard's sweep be due now; it sets its own next time. A yard has one such timer.

    With the first yard also begins the weekly learning from what is read there.
    """
    fitting.ensure_fit(viewer, now)
    planned = timer_rows.Planned(timer_rows.SWEEP, now, (str(yard.ref),), yard=yard.id)
    timer_rows.due_now(viewer, planned, now=now)


def run(viewer: Viewer, timer: Timer, now: datetime) -> None:
    """Judge every present horse of the timer's yard by today's date, remind, and plan the next.

    Locks the yard's timer, then standings, then alerts; a change of the yard does so too.
    """
    held = timer_rows.hold(timer, now)
    if held is None or held.yard is None:
        return
    yard = held.yard
    fitting.ensure_fit(viewer, now)
    standings = subjects.locked_in(yard, "present")
    _settle_ended(viewer, standings, now)
    changes = _judged(viewer, yard, standings, now)
    reminding.remind(viewer, yard, standings, now=now)
    ending.warn(viewer, yard, now=now)
    _recorded(viewer, yard, changes, now)
    Timer.objects.filter(id=timer.id).update(due_at=_next(yard, now), done_at=now, attempts=0)


def _next(yard: Yard, now: datetime) -> datetime:
    """Return when to look again: at six, or when an exception to a rule ends before that."""
    morning, end = daytime.next_six(now, yard.time_zone), own_rules.next_end(yard.id, now)
    return morning if end is None else min(morning, end)


def _settle_ended(viewer: Viewer, standings: Sequence[Standing], now: datetime) -> None:
    """Work out again the horses whose vet's order ended since they were last settled."""
    keys = [standing.horse_id for standing in standings]
    orders = VetOrder.objects.filter(horse_id__in=keys, until_at__lte=now)
    ended = dict(orders.values_list("horse_id").annotate(Max("until_at")).order_by())
    for standing in standings:
        if standing.horse_id in ended and ended[standing.horse_id] > standing.updated_at:
            settling.settle(viewer, standing, now)


def _judged(
    viewer: Viewer, yard: Yard, standings: Sequence[Standing], now: datetime
) -> episodes.Changes:
    facts = yard_evidence.facts_of_horses(viewer, standings, now=now)
    verdicts = [
        episodes.Verdict(
            standing.horse,
            risk.find(facts[standing.horse_id], RULES),
            risk.judged(facts[standing.horse_id]) & RULES,
        )
        for standing in standings
    ]
    return episodes.apply_all(
        viewer, verdicts, yard=yard, now=now, cause=episodes.Cause(is_sweep=True)
    )


def _recorded(viewer: Viewer, yard: Yard, changes: episodes.Changes, now: datetime) -> None:
    """Enter what changed; a morning on which nothing did leaves no entry."""
    told = {
        "opened": changes.opened,
        "raised": changes.raised,
        "resolved": changes.resolved,
    }
    if any(told.values()):
        payload = {
            what: [{"alert": str(alert.ref), "rule": alert.rule} for alert in alerts]
            for what, alerts in told.items()
        }
        audit.record(viewer, verb="yard.swept", target=("yard", yard.ref), payload=payload, at=now)
