"""What is to happen later, as rows with an instant in UTC: set, moved, called off."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime

import uuid_utils.compat as uuid_utils

from scoring.models import Timer
from yards import isolation
from yards.rules.roles import Viewer

ESCALATE = "escalate"
FOLLOW_UP = "follow_up"
SNOOZE_END = "snooze_end"
SWEEP = "sweep"
FIT = "fit"
REFIT = "refit"


@dataclass(frozen=True, slots=True)
class Planned:
    """Something to do at an instant. ``about`` and the kind make the key: set once, never twice."""

    kind: str
    due_at: datetime
    about: tuple[str, ...]
    alert: int | None = None
    yard: int | None = None

    @property
    def key(self) -> str:
        """The key that is unique in the organisation."""
        return ":".join([self.kind, *self.about])


def plan(viewer: Viewer, planned: Iterable[Planned], *, now: datetime) -> None:
    """Set timers; one that was set before under the same key is left as it stands."""
    isolation.required(viewer)
    Timer.objects.bulk_create(
        [
            Timer(
                organisation_id=viewer.organisation,
                ref=uuid_utils.uuid7(),
                kind=each.kind,
                key=each.key,
                due_at=each.due_at,
                alert_id=each.alert,
                yard_id=each.yard,
                created_at=now,
            )
            for each in planned
        ],
        ignore_conflicts=True,
    )


def due_now(viewer: Viewer, planned: Planned, *, now: datetime) -> None:
    """Let a timer be due now: one that is set already is moved, and its failures are forgotten."""
    plan(viewer, [planned], now=now)
    Timer.objects.filter(organisation_id=viewer.organisation, key=planned.key).update(
        due_at=planned.due_at, attempts=0
    )


def all_due_now(viewer: Viewer, planned: Sequence[Planned], *, now: datetime) -> None:
    """As ``due_now``, of many at once."""
    plan(viewer, planned, now=now)
    keys = [each.key for each in planned]
    found = Timer.objects.filter(organisation_id=viewer.organisation, key__in=keys)
    held = found.select_for_update().order_by("id").values_list("id", flat=True)
    Timer.objects.filter(id__in=list(held)).update(due_at=now, attempts=0)


def hold(timer: Timer, now: datetime) -> Timer | None:
    """Lock a timer that is due, its yard joined; None when another does it or it was moved on."""
    mine = Timer.objects.select_for_update(skip_locked=True, of=("self",)).select_related("yard")
    return mine.filter(id=timer.id, due_at__lte=now).first()


def call_off(viewer: Viewer, alerts: Iterable[int], *, now: datetime) -> None:
    """Call off every timer that still runs for these alerts."""
    isolation.required(viewer)
    Timer.objects.filter(
        organisation_id=viewer.organisation, alert_id__in=list(alerts), due_at__isnull=False
    ).update(due_at=None, done_at=now)
