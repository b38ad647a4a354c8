"""What happened beside the readings, as marks on a drawing: alerts, moves, events, vets' orders."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.db.models import QuerySet

from scoring.models import Alert, VetOrder
from scoring.rules.chart_window import Window
from yards.models import HorseEvent, Stay

ALERT, EVENT, MOVE, ORDER = "alert", "event", "move", "order"
# The newest of each kind; more cannot be told apart on any screen.
MOST = 120


@dataclass(frozen=True, slots=True)
class Mark:
    """One mark: ``key`` is an alert's rule, an event's kind, or the yard that was moved to."""

    at: datetime
    kind: str
    key: str
    detail: str = ""


def of(kin: Sequence[int], window: Window) -> tuple[Mark, ...]:
    """Return the marks of a window in order, in four queries."""
    alerts = Alert.objects.filter(horse_id__in=kin)
    happened = HorseEvent.objects.filter(horse_id__in=kin)
    stood = Stay.objects.filter(horse_id=kin[0]).select_related("yard")
    ordered = VetOrder.objects.filter(horse_id__in=kin)
    found = [
        *(Mark(row.opened_at, ALERT, row.rule) for row in _in(alerts, "opened_at", window)),
        *(Mark(row.at, EVENT, row.kind, row.note) for row in _in(happened, "at", window)),
        *(Mark(row.from_at, MOVE, row.yard.name) for row in _in(stood, "from_at", window)),
        *(Mark(row.given_at, ORDER, "", row.reason) for row in _in(ordered, "given_at", window)),
    ]
    return tuple(sorted(found, key=lambda each: (each.at, each.kind, each.key)))


def _in(rows: QuerySet[Any], field: str, window: Window) -> QuerySet[Any]:
    within = {f"{field}__gte": window.first, f"{field}__lte": window.until}
    return rows.filter(**within).order_by(f"-{field}", "-id")[:MOST]
