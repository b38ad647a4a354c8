"""What stands beside a horse on the visit: its vet's orders in force, its last weight as read.

Three queries for all horses, and three more for what vets have said since alerts opened.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from uuid import UUID

from scoring.models import Standing, VetOrder, Weighing
from scoring.queries import board_rows, vet_orders, vet_words
from scoring.queries.vet_orders import VetOrderCard
from scoring.queries.vet_words import Word
from yards.rules.roles import Viewer


@dataclass(frozen=True, slots=True)
class Weighed:
    """The last weight as it was read, which no filter has touched."""

    kg: Decimal
    method: str
    instrument: str
    at: datetime


@dataclass(frozen=True, slots=True)
class Beside:
    """By horse key: orders that run now, the newest first, and the last weighing; words by id."""

    orders: Mapping[int, list[VetOrderCard]]
    weighed: Mapping[int, Weighed]
    words: Mapping[UUID, list[Word]]


def beside(viewer: Viewer, subjects: Sequence[board_rows.Subject], now: datetime) -> Beside:
    """Return what stands beside the horses of a page."""
    standings = [each.standing for each in subjects]
    return Beside(_orders(standings, now), _weighed(standings), _words(viewer, subjects))


def _orders(standings: Iterable[Standing], now: datetime) -> dict[int, list[VetOrderCard]]:
    keys = [each.horse_id for each in standings]
    held = VetOrder.objects.filter(horse_id__in=keys, given_at__lte=now, until_at__gt=now)
    rows = list(vet_orders.joined(held).order_by("-id"))
    found: dict[int, list[VetOrderCard]] = {}
    for row, card in zip(rows, vet_orders.cards_of(rows), strict=True):
        if card.in_force(now):
            found.setdefault(row.horse_id, []).append(card)
    return found


def _weighed(standings: Iterable[Standing]) -> dict[int, Weighed]:
    owner = {each.last_weighing_id: each.horse_id for each in standings if each.last_weighing_id}
    rows = Weighing.objects.filter(id__in=list(owner)).select_related("instrument")
    return {
        owner[row.id]: Weighed(
            row.weight_kg,
            row.method,
            row.instrument.label if row.instrument is not None else "",
            row.corrected_at,
        )
        for row in rows
    }


def _words(viewer: Viewer, subjects: Iterable[board_rows.Subject]) -> dict[UUID, list[Word]]:
    since = {
        each.standing.horse.ref: min(alert.opened_at for alert in each.alerts)
        for each in subjects
        if each.alerts
    }
    return vet_words.spoken(viewer, since)
