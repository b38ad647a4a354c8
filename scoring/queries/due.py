"""What is due and overdue, over all yards in scope, by each yard's own calendar."""

from dataclasses import dataclass
from datetime import date, datetime
from uuid import UUID
from zoneinfo import ZoneInfo

from scoring.models import Standing
from scoring.rules import due as rule
from yards.access import doors
from yards.rules import daytime
from yards.rules.roles import Verb, Viewer

WHAT = ("score", "weight")


@dataclass(frozen=True, slots=True)
class DueRow:
    """One thing due of one horse; ``days`` overdue by the yard's calendar, 0 on the day."""

    horse: UUID
    horse_name: str
    yard: UUID
    yard_name: str
    what: str
    due_at: datetime
    state: str
    days: int


def list_due(
    viewer: Viewer, *, now: datetime, yard: UUID | None = None, on: date | None = None
) -> tuple[DueRow, ...]:
    """Return what is due or overdue, longest overdue first.

    ``on`` asks for the end of another day, on each yard's own calendar. Raises NotFound for a yard
    out of scope.
    """
    doors.require(viewer, Verb.READ_STANDING)
    found = Standing.objects.filter(doors.scope(viewer, horse="horse_id"))
    if yard is not None:
        found = found.filter(yard_id=doors.yard_for_read(viewer, yard).id)
    rows = [
        row
        for standing in found.filter(horse__status="present")
        .select_related("horse", "yard")
        .order_by("id")
        for row in _rows(standing, now, on)
    ]
    return tuple(sorted(rows, key=lambda row: (row.due_at, row.horse_name, row.what)))


def _rows(standing: Standing, now: datetime, on: date | None) -> list[DueRow]:
    zone = standing.yard.time_zone
    moment = now if on is None else datetime.combine(on, datetime.max.time(), ZoneInfo(zone))
    today = daytime.local_date(moment, zone)
    rows = []
    for what, at in zip(WHAT, (standing.score_due_at, standing.weight_due_at), strict=True):
        state = rule.state(at, moment, zone)
        if state != rule.NOT_DUE:
            rows.append(
                DueRow(
                    horse=standing.horse.ref,
                    horse_name=standing.horse.name,
                    yard=standing.yard.ref,
                    yard_name=standing.yard.name,
                    what=what,
                    due_at=at,
                    state=state,
                    days=(today - daytime.local_date(at, zone)).days,
                )
            )
    return rows
