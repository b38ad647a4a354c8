"""What is due or overdue now, by yard, for one reader's daily reminder."""

from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from uuid import UUID

from django.db.models.functions import Least

from scoring.models import Standing
from scoring.rules import due
from yards.access import doors
from yards.rules import daytime
from yards.rules.roles import Verb, Viewer

CHECK = "check"


@dataclass(frozen=True, slots=True)
class Item:
    """One horse and what is to be done with it, with the day by the yard's calendar."""

    horse: int
    horse_name: str
    what: str
    on: date
    state: str
    today: date

    @property
    def mark(self) -> str:
        """What is written into the standing once people were told: a daily check, each day."""
        on = self.today if self.what == CHECK else self.on
        return f"{self.what}:{on.isoformat()}:{self.state}"


@dataclass(frozen=True, slots=True)
class Place:
    """One yard's items, horses by name."""

    yard: UUID
    yard_name: str
    items: list[Item] = field(default_factory=list)


def items_of(standing: Standing, zone: str, now: datetime) -> Iterator[Item]:
    """Yield what is due or overdue of one horse."""
    asked = {
        "score": standing.score_due_at,
        "weight": standing.weight_due_at,
        CHECK: standing.check_due_at,
    }
    for what, at in asked.items():
        if at is None:
            continue
        state = due.state(at, now, zone)
        if state != due.NOT_DUE:
            on = daytime.local_date(at, zone)
            today = daytime.local_date(now, zone)
            yield Item(standing.horse_id, standing.horse.name, what, on, state, today)


def due_now(reader: Viewer, *, now: datetime) -> tuple[Place, ...]:
    """Return what is due or overdue in the reader's scope, yards by name, in one query."""
    doors.require(reader, Verb.READ_STANDING)
    rows = (
        Standing.objects.filter(doors.scope(reader, horse="horse_id"), horse__status="present")
        .annotate(first_at=Least("score_due_at", "weight_due_at", "check_due_at"))
        .filter(first_at__lt=now + timedelta(days=1))
        .select_related("horse", "yard")
        .order_by("yard__name_key", "yard_id", "horse__name_key", "horse_id")
    )
    places: dict[int, Place] = {}
    for row in rows:
        items = list(items_of(row, row.yard.time_zone, now))
        if items:
            place = places.setdefault(row.yard_id, Place(row.yard.ref, row.yard.name))
            place.items.extend(items)
    return tuple(places.values())
