"""The roll of horses: by name, a page at a time, for people to look through."""

from collections.abc import Collection
from dataclasses import dataclass
from uuid import UUID

from django.db.models import Q, QuerySet

from yards.access import doors
from yards.models import Horse
from yards.queries import filters
from yards.queries.horses import HorseCard, card_of
from yards.rules import errors
from yards.rules import horse as rule
from yards.rules.roles import Verb, Viewer

SIZE = 50


@dataclass(frozen=True, slots=True)
class Roll:
    """One page of horses by name; ``after`` leads to the next, None when there is none."""

    horses: tuple[HorseCard, ...]
    after: UUID | None


def list_by_name(
    viewer: Viewer,
    *,
    statuses: Collection[str],
    yard: UUID | None = None,
    search: str = "",
    after: UUID | None = None,
    size: int = SIZE,
) -> Roll:
    """Return horses of the statuses by name; ``search`` is part of a name, or a number as read.

    ``after`` is the last horse of the page before. Raises NotFound for what is out of scope.
    """
    doors.require(viewer, Verb.READ_HORSES)
    rows = doors.horses_in_scope(viewer).filter(status__in=statuses)
    if yard is not None:
        rows = rows.filter(yard_id=doors.yard_for_read(viewer, yard).id)
    if search:
        text = filters.readable("search", search)
        rows = rows.filter(
            Q(name_key__contains=text.casefold()) | Q(transponder=text) | Q(ueln=text.upper())
        )
    if after is not None:
        rows = _beyond(viewer, rows, after)
    ordered = rows.select_related("yard", "merged_into").order_by("name_key", "id")
    found = [card_of(each) for each in ordered[: size + 1]]
    more = len(found) > size
    return Roll(tuple(found[:size]), found[size - 1].ref if more else None)


def _beyond(viewer: Viewer, rows: QuerySet[Horse], after: UUID) -> QuerySet[Horse]:
    last = doors.horses_in_scope(viewer).filter(ref=after).values("name_key", "id").first()
    if last is None:
        raise errors.NotFound
    same = Q(name_key=last["name_key"], id__gt=last["id"])
    return rows.filter(Q(name_key__gt=last["name_key"]) | same)


def list_known(viewer: Viewer, species: str) -> tuple[HorseCard, ...]:
    """Return the identified animals of a species that are here or away, by name."""
    doors.require(viewer, Verb.READ_HORSES)
    rows = doors.horses_in_scope(viewer).filter(
        status__in=rule.HERE, is_unknown=False, species=species
    )
    ordered = rows.select_related("yard", "merged_into").order_by("name_key", "id")
    return tuple(card_of(each) for each in ordered)
