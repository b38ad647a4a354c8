"""Vets' orders as they are answered."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from uuid import UUID

from django.db.models import QuerySet

from scoring.access import vet
from scoring.models import VetOrder, VetOrderEnd
from scoring.rules import scale
from yards.access import doors
from yards.models import Horse
from yards.queries import paging
from yards.queries.people import PersonName
from yards.rules.roles import Verb, Viewer


@dataclass(frozen=True, slots=True)
class EndCard:
    """That a vet ended an order sooner than it said, and why."""

    by: PersonName
    at: datetime
    reason: str


@dataclass(frozen=True, slots=True)
class VetOrderCard:
    """What a vet set for a horse: a band in points on its usual scale, intervals in days.

    ``until`` is as it was given; ``ended`` is there when a vet ended it sooner.
    """

    id: UUID
    horse: UUID
    horse_name: str
    low: Decimal | None
    high: Decimal | None
    score_days: int | None
    weight_days: int | None
    reason: str
    given_by: UUID
    given_by_name: str
    given_at: datetime
    until: datetime
    ended: EndCard | None = None
    replayed: bool = False

    @property
    def ends_at(self) -> datetime:
        """When it ends, or ended."""
        return self.until if self.ended is None else min(self.until, self.ended.at)

    def in_force(self, at: datetime) -> bool:
        """Return whether it holds at an instant."""
        return self.given_at <= at < self.ends_at


def card_of(row: VetOrder, horse: Horse, *, replayed: bool = False) -> VetOrderCard:
    """Return an order's row as its card, with its end if it has one."""
    end = VetOrderEnd.objects.filter(order_id=row.id).select_related("ended_by").first()
    return _card(row, horse, end, replayed=replayed)


def card(ref: UUID) -> VetOrderCard:
    """Return one order that the caller has found to be within reach."""
    row = VetOrder.objects.select_related("horse", "given_by").get(ref=ref)
    return card_of(row, row.horse)


def get_vet_order(viewer: Viewer, ref: UUID) -> VetOrderCard:
    """Return one order; raises NotFound or NotAllowed."""
    vet.order_for_read(viewer, ref)
    doors.require(viewer, Verb.READ_READINGS)
    return card(ref)


def cards_of(rows: Sequence[VetOrder]) -> list[VetOrderCard]:
    """Return rows, with horse and giver joined, as their cards: one query for their ends."""
    ends = VetOrderEnd.objects.filter(order_id__in=[each.id for each in rows])
    held = {each.order_id: each for each in ends.select_related("ended_by")}
    return [_card(row, row.horse, held.get(row.id)) for row in rows]


def _card(
    row: VetOrder, horse: Horse, end: VetOrderEnd | None, *, replayed: bool = False
) -> VetOrderCard:
    return VetOrderCard(
        id=row.ref,
        horse=horse.ref,
        horse_name=horse.name,
        low=scale.points(row.band_low),
        high=scale.points(row.band_high),
        score_days=row.score_days,
        weight_days=row.weight_days,
        reason=row.reason,
        given_by=row.given_by_id,
        given_by_name=row.given_by.name,
        given_at=row.given_at,
        until=row.until_at,
        ended=None
        if end is None
        else EndCard(PersonName(end.ended_by_id, end.ended_by.name), end.ended_at, end.reason),
        replayed=replayed,
    )


def joined(rows: QuerySet[VetOrder]) -> QuerySet[VetOrder]:
    """Return orders with what their cards are made of."""
    return rows.select_related("horse", "given_by")


def list_vet_orders(
    viewer: Viewer, horse: UUID, *, cursor: str | None = None, size: int = paging.SIZE
) -> paging.Page[VetOrderCard]:
    """Return a horse's orders, newest first, ended ones too; raises NotFound or NotAllowed."""
    subject = doors.horse_for_read(viewer, horse)
    doors.require(viewer, Verb.READ_READINGS)
    return paging.page_of(
        viewer,
        joined(VetOrder.objects.filter(horse_id=subject.id)),
        cards_of,
        name="vet_orders",
        cursor=cursor,
        size=size,
    )
