"""Horses, donkeys and mules, as readers see them."""

from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from uuid import UUID

from django.db.models import Q, QuerySet

from yards.access import doors
from yards.models import Horse, Stay
from yards.queries import filters, paging
from yards.rules import errors
from yards.rules.roles import Verb, Viewer


@dataclass(frozen=True, slots=True)
class YardName:
    """A yard by its ref and name."""

    ref: UUID
    name: str


@dataclass(frozen=True, slots=True)
class HorseCard:
    """One animal. ``born`` is as given: None, "2014" or "2014-05-01"; ``yard`` where it stands."""

    ref: UUID
    name: str
    yard: YardName
    species: str
    kind: str
    sex: str
    born: str | None
    born_basis: str
    height_cm: Decimal | None
    use: str
    breeding: str
    laminitis: str
    endocrine: str
    transponder: str
    ueln: str
    handling: str
    status: str
    ended_at: datetime | None
    is_unknown: bool
    merged_into: UUID | None
    created_at: datetime
    version: int


@dataclass(frozen=True, slots=True)
class StayRow:
    """A horse in a yard from an instant until another, half-open; ``until_at`` None is still."""

    yard: YardName
    from_at: datetime
    until_at: datetime | None


def card_of(horse: Horse) -> HorseCard:
    """Return a horse's row, with its yard and merge target joined, as its card."""
    return HorseCard(
        ref=horse.ref,
        name=horse.name,
        yard=YardName(horse.yard.ref, horse.yard.name),
        species=horse.species,
        kind=horse.kind,
        sex=horse.sex,
        born=horse.born or None,
        born_basis=horse.born_basis,
        height_cm=horse.height_cm,
        use=horse.use,
        breeding=horse.breeding,
        laminitis=horse.laminitis,
        endocrine=horse.endocrine,
        transponder=horse.transponder,
        ueln=horse.ueln,
        handling=horse.handling,
        status=horse.status,
        ended_at=horse.ended_at,
        is_unknown=horse.is_unknown,
        merged_into=horse.merged_into.ref if horse.merged_into else None,
        created_at=horse.created_at,
        version=horse.version,
    )


def _searched(rows: QuerySet[Horse], search: str) -> QuerySet[Horse]:
    """Names that begin so, in any case, or that transponder number exactly."""
    text = filters.readable("search", search).strip()
    return rows.filter(Q(name_key__startswith=text.casefold()) | Q(transponder=text))


def _in_yard(viewer: Viewer, rows: QuerySet[Horse], ref: UUID) -> QuerySet[Horse]:
    yard = doors.yards_in_scope(viewer).filter(ref=ref).first()
    if yard is None:
        raise errors.Invalid(errors.FieldError("yard", "unknown_reference"))
    return rows.filter(yard_id=yard.id)


def list_horses(
    viewer: Viewer,
    *,
    yard: UUID | None = None,
    species: str | None = None,
    status: str | None = None,
    search: str | None = None,
    cursor: str | None = None,
    size: int = paging.SIZE,
) -> paging.Page[HorseCard]:
    """Return the horses in the viewer's scope, newest first; merged ones only when asked for.

    Raises Invalid at ``yard`` for one unknown, another organisation's or out of scope, all alike.
    """
    doors.require(viewer, Verb.READ_HORSES)
    rows = doors.horses_in_scope(viewer)
    rows = (
        rows.filter(status=filters.readable("status", status))
        if status
        else rows.exclude(status="merged")
    )
    if yard is not None:
        rows = _in_yard(viewer, rows, yard)
    if species:
        rows = rows.filter(species=filters.readable("species", species))
    if search and search.strip():
        rows = _searched(rows, search)
    return paging.page_of(
        viewer,
        rows.select_related("yard", "merged_into"),
        lambda found: [card_of(horse) for horse in found],
        name="horses",
        cursor=cursor,
        size=size,
    )


def get_horse(viewer: Viewer, ref: UUID) -> HorseCard:
    """Return one horse, or raise NotFound or NotAllowed."""
    horse = doors.horse_for_read(viewer, ref)
    doors.require(viewer, Verb.READ_HORSES)
    return card_of(horse)


def list_stays(viewer: Viewer, ref: UUID) -> tuple[StayRow, ...]:
    """Return where a horse has stood, latest first; yards out of scope are part of its history."""
    horse = doors.horse_for_read(viewer, ref)
    doors.require(viewer, Verb.READ_HORSES)
    stays = Stay.objects.filter(horse=horse).select_related("yard").order_by("-from_at", "-id")
    return tuple(
        StayRow(YardName(stay.yard.ref, stay.yard.name), stay.from_at, stay.until_at)
        for stay in stays
    )
