"""What only the making of an invented past needs: time that goes by at once, and no mail for it.

For the server's own commands, inside one transaction: nothing of it is seen, and no message can be
claimed, before ``silence`` has been called and all is committed.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from scoring.actions import episodes, notices, sweep, timer_rows, timers
from scoring.models import Alert, Timer
from scoring.rules import ladder
from yards import isolation
from yards.models import User, Yard
from yards.rules.roles import Viewer


@dataclass(frozen=True, slots=True)
class Waiting:
    """An alert that nobody has answered yet, as it stands."""

    ref: UUID
    version: int
    horse: UUID
    severity: str
    is_protected: bool


def known_of(emails: Iterable[str]) -> list[str]:
    """Return those of the e-mail addresses that somebody has already, sorted."""
    found = User.objects.filter(email__in=list(emails)).order_by("email")
    return list(found.values_list("email", flat=True))


def run_timers(viewer: Viewer, *, until: datetime) -> None:
    """Do what fell due by an instant, each at its own time; sweeps are left to ``sweep_yards``."""
    isolation.required(viewer)
    running = Timer.objects.select_related("alert__horse").exclude(kind=timer_rows.SWEEP)
    while timer := running.filter(due_at__lte=until).order_by("due_at", "id").first():
        at = timer.due_at or until
        timers.WORK[timer.kind](viewer, timer, at)


def sweep_yards(viewer: Viewer, *, now: datetime) -> None:
    """Let every yard of the organisation have its look at the calendar at an instant."""
    isolation.required(viewer)
    for yard in Yard.objects.order_by("id"):
        sweep.ensure_sweep(viewer, yard, now)
    for timer in Timer.objects.filter(kind=timer_rows.SWEEP, due_at=now).order_by("id"):
        sweep.run(viewer, timer, now)


def waiting_alerts(viewer: Viewer) -> list[Waiting]:
    """Return the open alerts that somebody is expected to answer: all but those to watch."""
    isolation.required(viewer)
    rows = Alert.objects.filter(state=episodes.OPEN).exclude(severity=ladder.WATCH)
    return [
        Waiting(
            ref=alert.ref,
            version=alert.version,
            horse=alert.horse.ref,
            severity=alert.severity,
            is_protected=alert.rule in ladder.PROTECTED,
        )
        for alert in rows.select_related("horse").order_by("id")
    ]


def is_unresolved(viewer: Viewer, ref: UUID) -> bool:
    """Return whether an alert is not resolved yet."""
    isolation.required(viewer)
    return Alert.objects.filter(ref=ref).exclude(state=episodes.RESOLVED).exists()


def silence(viewer: Viewer) -> int:
    """Call off every message that has not gone: of an invented past nobody is told.

    Timers stay as they are, so what falls due from now on is told as ever. Returns how many.
    """
    return notices.waiting(viewer).update(state=notices.CALLED_OFF, due_at=None)
