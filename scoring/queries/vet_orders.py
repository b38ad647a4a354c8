"""Vets' orders as they are answered."""

from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from uuid import UUID

from scoring.models import VetOrder
from scoring.rules import scale
from yards.access import doors
from yards.models import Horse
from yards.queries import paging
from yards.rules.roles import Verb, Viewer


@dataclass(frozen=True, slots=True)
class VetOrderCard:
    """What a vet set for a horse: a band in points on its usual scale, intervals in days."""

    id: UUID
    horse: UUID
    low: Decimal | None
    high: Decimal | None
    score_days: int | None
    weight_days: int | None
    reason: str
    given_by: UUID
    given_at: datetime
    until: datetime
    replayed: bool = False


def card_of(row: VetOrder, horse: Horse, *, replayed: bool = False) -> VetOrderCard:
    """Return an order's row as its card."""
    return VetOrderCard(
        id=row.ref,
        horse=horse.ref,
        low=scale.points(row.band_low),
        high=scale.points(row.band_high),
        score_days=row.score_days,
        weight_days=row.weight_days,
        reason=row.reason,
        given_by=row.given_by_id,
        given_at=row.given_at,
        until=row.until_at,
        replayed=replayed,
    )


def list_vet_orders(
    viewer: Viewer, horse: UUID, *, cursor: str | None = None, size: int = paging.SIZE
) -> paging.Page[VetOrderCard]:
    """Return a horse's orders, newest first, ended ones too; raises NotFound or NotAllowed."""
    subject = doors.horse_for_read(viewer, horse)
    doors.require(viewer, Verb.READ_READINGS)
    return paging.page_of(
        viewer,
        VetOrder.objects.filter(horse_id=subject.id),
        lambda rows: [card_of(row, subject) for row in rows],
        name="vet_orders",
        cursor=cursor,
        size=size,
    )
