"""An alert's row and its life: what ``scoring.rules.life`` answers is what the row keeps."""

from collections.abc import Mapping, Sequence
from datetime import datetime

import uuid_utils.compat as uuid_utils

from scoring.actions import timer_rows
from scoring.models import Alert, AlertAct
from scoring.queries import own_policies
from scoring.rules import ladder, life
from scoring.rules.policy import Hours, Policy
from yards.models import Yard
from yards.rules.roles import Viewer

# The columns of a life.
COLUMNS = list(life.FIELDS)
KIND_OF = {
    ladder.OPEN: timer_rows.ESCALATE,
    ladder.ACKNOWLEDGED: timer_rows.FOLLOW_UP,
    ladder.SNOOZED: timer_rows.SNOOZE_END,
}
# Alerts that a morning's look at the calendar opened go out together under such a key.
TOGETHER = "together"


def of(alert: Alert) -> life.Life:
    """Return an alert's life as its row has it."""
    held = {name: getattr(alert, name) for name in life.FIELDS}
    return life.Life(**{**held, "began_at": alert.began_at or alert.opened_at})


def keep(alert: Alert, found: life.Life) -> None:
    """Write a life into an alert's row, not yet into the table."""
    for name in life.FIELDS:
        setattr(alert, name, getattr(found, name))


def hours_of(yard: Yard) -> Hours:
    """Return a yard's clock and quiet hours."""
    return Hours(yard.time_zone, yard.quiet_from, yard.quiet_to)


def policies(viewer: Viewer) -> Mapping[str, Policy]:
    """Return the policies that lives go by now."""
    return own_policies.by_severity(viewer)


def stirs(alert: Alert, *, together: bool = False) -> timer_rows.Planned | None:
    """Return the timer that an alert's life asks for, if any."""
    if alert.next_at is None or alert.state not in KIND_OF:
        return None
    told = (str(alert.ref), str(alert.version), str(alert.tellings))
    about = (TOGETHER, *told) if together else told
    return timer_rows.Planned(KIND_OF[alert.state], alert.next_at, about, alert=alert.id)


def plan(viewer: Viewer, alerts: Sequence[Alert], *, now: datetime, together: bool = False) -> None:
    """Set the timer of each alert that stirs again by itself."""
    found = (stirs(alert, together=together) for alert in alerts)
    timer_rows.plan(viewer, [each for each in found if each is not None], now=now)


def note(
    viewer: Viewer, alerts: Sequence[Alert], kind: str, now: datetime, **facts: object
) -> None:
    """Keep one act about each alert; those who acted are the viewer, or nobody."""
    AlertAct.objects.bulk_create(
        AlertAct(
            organisation_id=viewer.organisation,
            ref=uuid_utils.uuid7(),
            alert=alert,
            kind=kind,
            at=now,
            by_id=viewer.person,
            number=alert.step,
            **facts,
        )
        for alert in alerts
    )
