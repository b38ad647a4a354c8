"""The horse and the instruments that a reading names, found, checked and locked."""

from collections.abc import Iterable
from datetime import datetime
from typing import TypeVar
from uuid import UUID

from django.db.models import Q

from scoring.models import Assessment, Concern, Instrument, Standing, Weighing
from scoring.rules import clocks, reading
from yards.access import doors
from yards.models import Horse, Stay, Yard
from yards.rules import errors
from yards.rules.errors import FieldError
from yards.rules.roles import Viewer

Row = TypeVar("Row", Assessment, Weighing, Concern)


def first_of(model: type[Row], viewer: Viewer, ref: object) -> Row | None:
    """Return what this viewer recorded under an id before, if anything."""
    try:
        known = UUID(str(ref))
    except ValueError:
        return None
    found = model.objects.select_related("horse", "horse__yard")
    return found.filter(ref=known, recorded_by_id=viewer.person).first()


def horses_named(
    viewer: Viewer, raw: object, first: Assessment | Weighing | None
) -> dict[UUID, Horse]:
    """Return the horse that a body names, if the viewer may know of it, by its id.

    A reading that is already ours (``first``) still finds its horse when that has moved out of the
    recorder's scope since, so that a phone's replay is answered and not refused.
    """
    refs = reading.references([raw]).horses
    found = doors.horses_in_scope(viewer).select_related("yard").filter(ref__in=refs)
    named = {horse.ref: horse for horse in found}
    if first is not None and first.horse.ref in refs:
        named[first.horse.ref] = first.horse
    return named


def instruments_named(raw: object) -> dict[UUID, Instrument]:
    """Return the instruments of the organisation that a body names, by id."""
    refs = reading.references([raw]).instruments
    return {each.ref: each for each in Instrument.objects.filter(ref__in=refs)}


def subject(horse: Horse) -> clocks.Subject:
    """Return what readings of a horse must agree with."""
    return clocks.Subject(
        species=horse.species,
        born_earliest=horse.born_earliest,
        gone=horse.status if horse.ended_at is not None else "",
        gone_at=horse.ended_at,
        zone=horse.yard.time_zone,
    )


def locked(horse: Horse) -> Standing:
    """Return the horse's standing, locked: the writers of one horse wait for each other here."""
    return (
        Standing.objects.select_for_update(no_key=True, of=("self",))
        .select_related("horse", "horse__yard")
        .get(horse_id=horse.id)
    )


def lock_all(viewer: Viewer, raws: Iterable[object]) -> None:
    """Lock the standings of every horse that a batch names, in the one order, before its items."""
    refs = reading.references(raws).horses
    named = doors.horses_in_scope(viewer).filter(ref__in=refs).values("id")
    rows = Standing.objects.select_for_update(no_key=True).filter(horse_id__in=named)
    list(rows.order_by("horse_id").values_list("id"))


def yard_at(horse: Horse, at: datetime) -> Yard:
    """Return the yard where the horse stood then; before its first stay, the first stay's."""
    stays = Stay.objects.filter(horse_id=horse.id).select_related("yard").order_by("from_at")
    then = stays.filter(Q(until_at__isnull=True) | Q(until_at__gt=at), from_at__lte=at).first()
    stay = then or stays.filter(from_at__gt=at).first() or stays.last()
    return stay.yard if stay is not None else horse.yard


def same_or_conflict(viewer: Viewer, row: Row, digest: bytes) -> Row:
    """Return a row that was recorded before under the id now sent, or raise Conflict.

    Same is: the same content from the same recorder.
    """
    if row.recorded_by_id != viewer.person or bytes(row.content_digest) != digest:
        raise errors.Conflict(FieldError("id", "same_id_other_content"))
    return row


def require_newest(old: Assessment | Weighing | None, horse: Horse) -> None:
    """Raise unless a correction is of this horse and corrects the newest of its chain."""
    if old is None:
        return
    if old.horse_id != horse.id:
        raise errors.Invalid(FieldError("horse", "correction_of_another_horse"))
    if is_superseded(old):
        raise errors.Conflict(FieldError("", "only_the_newest_is_corrected"))


def is_superseded(old: Assessment | Weighing) -> bool:
    """Return whether a later one stands in its place."""
    return old.superseded_by.exists()
