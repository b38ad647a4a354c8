"""What only the making of an invented past needs: time that goes by at once, and no mail for it.

For the server's own commands, inside one transaction: nothing of it is seen, and no message can be
claimed, before ``silence`` has been called and all is committed.

A message that fell due in that past is kept as sent at that time, so that the record shows who was
told when. It never was: it has no attempt, and its ``params`` say so under ``INVENTED``. Delivery
claims only what is due, and it no longer is.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta
from uuid import UUID

from django.db.models import F, Func, JSONField, QuerySet, Value

from scoring.actions import episodes, notices, sweep, timer_rows, timers
from scoring.models import Alert, Timer
from scoring.rules import ladder
from yards import isolation
from yards.models import User, Yard
from yards.rules.roles import Viewer

INVENTED = "invented"
MOMENT = timedelta(microseconds=1)


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


def next_due(viewer: Viewer) -> datetime | None:
    """Return when the next timer or message falls due; None when nothing waits.

    Sweeps and what is learnt from readings are apart.
    """
    firsts = [
        rows.order_by("due_at").values_list("due_at", flat=True).first()
        for rows in (_running(), notices.waiting(viewer))
    ]
    return min((at for at in firsts if at is not None), default=None)


def run_timers(viewer: Viewer, *, until: datetime) -> bool:
    """Do what fell due by an instant, each at its own time; sweeps are left to ``sweep_yards``,
    learning to ``fitting.learn``.

    Returns whether any timer ran.
    """
    isolation.required(viewer)
    ran = False
    running = _running().select_related("alert__horse")
    while timer := running.filter(due_at__lte=until).order_by("due_at", "id").first():
        at = timer.due_at or until
        _tell(viewer, until=at)
        timers.WORK[timer.kind](viewer, timer, at)
        ran = True
    _tell(viewer, until=until)
    return ran


def _running() -> QuerySet[Timer]:
    # Learnt from once, at the end: two years of weeks would cost more than all the readings.
    apart = (timer_rows.SWEEP, timer_rows.FIT, timer_rows.REFIT)
    return Timer.objects.filter(due_at__isnull=False).exclude(kind__in=apart)


def _tell(viewer: Viewer, *, until: datetime) -> None:
    """Keep what fell due by an instant as sent, each at its own time, and marked as invented."""
    marked = Func(
        F("params"),
        Value({INVENTED: True}, JSONField()),
        template="(%(expressions)s)",
        arg_joiner=" || ",
        output_field=JSONField(),
    )
    notices.waiting(viewer).filter(due_at__lte=until).update(
        state=notices.SENT, sent_at=F("due_at"), due_at=None, params=marked
    )


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


def silence(viewer: Viewer, *, now: datetime) -> int:
    """Call off every message that would still go: of an invented past nobody is told.

    What fell due before ``now`` is kept as told then. Timers stay as they are, so what falls due
    from now on is told as ever. Returns how many were called off.
    """
    _tell(viewer, until=now - MOMENT)
    return notices.waiting(viewer).update(state=notices.CALLED_OFF, due_at=None)
