"""Yards, as readers see them."""

from dataclasses import dataclass
from datetime import datetime, time
from uuid import UUID

from yards.access import doors
from yards.models import Yard
from yards.queries import paging
from yards.rules.roles import Verb, Viewer


@dataclass(frozen=True, slots=True)
class Spring:
    """A yard's own spring, "MM-DD" both, last day included; it may wrap the year."""

    first: str
    last: str


@dataclass(frozen=True, slots=True)
class VetContact:
    """Whom to ring: the practice and its day, out-of-hours and second numbers."""

    practice: str
    phone: str
    out_of_hours_phone: str
    second_phone: str


@dataclass(frozen=True, slots=True)
class QuietHours:
    """When only urgent messages go, in yard time; may run over midnight."""

    start: time
    end: time


@dataclass(frozen=True, slots=True)
class YardCard:
    """One yard. ``spring`` None is the meteorological spring of the hemisphere."""

    ref: UUID
    name: str
    time_zone: str
    hemisphere: str
    spring: Spring | None
    vet: VetContact
    quiet_hours: QuietHours | None
    created_at: datetime
    version: int


def vet_of(yard: Yard) -> VetContact:
    """Return whom to phone for a yard."""
    return VetContact(
        yard.vet_practice, yard.vet_phone, yard.vet_out_of_hours_phone, yard.vet_second_phone
    )


def card_of(yard: Yard) -> YardCard:
    """Return a yard's row as its card."""
    quiet = (
        QuietHours(yard.quiet_from, yard.quiet_to)
        if yard.quiet_from is not None and yard.quiet_to is not None
        else None
    )
    return YardCard(
        ref=yard.ref,
        name=yard.name,
        time_zone=yard.time_zone,
        hemisphere=yard.hemisphere,
        spring=Spring(yard.spring_first, yard.spring_last) if yard.spring_first else None,
        vet=vet_of(yard),
        quiet_hours=quiet,
        created_at=yard.created_at,
        version=yard.version,
    )


def list_yards(
    viewer: Viewer, *, cursor: str | None = None, size: int = paging.SIZE
) -> paging.Page[YardCard]:
    """Return the yards in the viewer's scope, newest first."""
    doors.require(viewer, Verb.READ_YARDS)
    return paging.page_of(
        viewer,
        doors.yards_in_scope(viewer),
        lambda rows: [card_of(row) for row in rows],
        name="yards",
        cursor=cursor,
        size=size,
    )


def all_yards(viewer: Viewer) -> tuple[YardCard, ...]:
    """Return every yard in the viewer's scope by name, for menus."""
    doors.require(viewer, Verb.READ_YARDS)
    return tuple(card_of(row) for row in doors.yards_in_scope(viewer).order_by("name_key", "id"))


def get_yard(viewer: Viewer, ref: UUID) -> YardCard:
    """Return one yard, or raise NotFound or NotAllowed."""
    yard = doors.yard_for_read(viewer, ref)
    doors.require(viewer, Verb.READ_YARDS)
    return card_of(yard)
