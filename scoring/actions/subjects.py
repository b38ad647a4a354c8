"""The horse and the instruments that a reading names, found, checked and locked."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import datetime
from typing import Any, TypeVar
from uuid import UUID

from scoring.access import standings
from scoring.models import Assessment, Concern, Instrument, Photo, Standing, Weighing
from scoring.queries import animals
from scoring.rules import clocks, reading, weighing
from yards.access import named
from yards.actions import once
from yards.models import Horse, Yard, rows
from yards.rules import errors
from yards.rules.errors import FieldError
from yards.rules.roles import Viewer

Row = TypeVar("Row", Assessment, Weighing, Concern, Photo)
_KEY: dict[type[Any], str] = {
    model: f"SELECT id FROM {table} WHERE ref = %(ref)s AND recorded_by_id = %(person)s"  # noqa: S608
    for model, table in (
        (Assessment, "scoring_assessment"),
        (Weighing, "scoring_weighing"),
        (Concern, "scoring_concern"),
        (Photo, "scoring_photo"),
    )
}
# The yard of the stay at an instant, of the next if there is none then, failing all of the last.
_YARD = """SELECT yard_id FROM yards_stay WHERE horse_id = %(horse)s
    ORDER BY CASE WHEN from_at > %(at)s THEN 1 WHEN until_at <= %(at)s THEN 2 ELSE 0 END,
        CASE WHEN until_at <= %(at)s THEN from_at END DESC, from_at
    LIMIT 1"""


def first_of(
    model: type[Row], viewer: Viewer, ref: object, *, without: Sequence[str] = ()
) -> Row | None:
    """Return what this viewer recorded under an id before, if anything.

    ``without`` names columns that are left where they are until somebody asks.
    """
    try:
        known = UUID(str(ref))
    except ValueError:
        return None
    # Nearly always there is none: the whole row is asked for where there is one.
    key = rows.asked(_KEY[model], {"ref": known, "person": viewer.person})
    if not key:
        return None
    return model.objects.select_related("horse", "horse__yard").defer(*without).get(id=key[0][0])


def horses_named(
    viewer: Viewer, raw: object, first: Assessment | Weighing | None
) -> dict[UUID, Horse]:
    """Return the horse that a body names, if the viewer may know of it, by its id.

    A reading that is already ours (``first``) still finds its horse when that has moved out of the
    recorder's scope since, so that a phone's replay is answered and not refused.
    """
    refs = reading.references([raw]).horses
    found = {horse.ref: horse for horse in named.horses(viewer, refs)}
    if first is not None and first.horse.ref in refs:
        found[first.horse.ref] = first.horse
    return found


def instruments_named(raw: object) -> dict[UUID, Instrument]:
    """Return the instruments of the organisation that a body names, by id."""
    refs = reading.references([raw]).instruments
    if not refs:
        return {}
    return {each.ref: each for each in Instrument.objects.filter(ref__in=refs)}


def subject(horse: Horse) -> clocks.Subject:
    """Return what readings of a horse must agree with."""
    return animals.subject(horse)


def timeless(horse: Horse) -> clocks.Subject:
    """Return what a replay is read by: what came of the horse since does not undo its first."""
    return replace(subject(horse), born_earliest=None, gone="", gone_at=None)


def known(row: Weighing | None, *, is_replay: bool = False) -> weighing.Known:
    """Return what a weighing's row has already, if there is one: its formula may be unlisted."""
    return weighing.Known(row.formula if row is not None else "", is_replay)


def locked(horse: Horse) -> Standing:
    """Return the horse's standing, locked: the writers of one horse wait for each other here.

    Horse and yard are read after the wait: joined, they would be as before it, and the horse may
    have moved meanwhile. Of an animal that turned out to be another it is the other's standing.
    """
    key = horse.merged_into_id or horse.id
    held = Standing.objects.select_for_update(no_key=True).get(horse_id=key)
    held.horse = Horse.objects.select_related("yard").get(id=key)
    return held if held.horse.merged_into_id is None else locked(held.horse)


def locked_in(yard: Yard, *statuses: str) -> list[Standing]:
    """Lock the standings of a yard's horses, in the one order; as ``locked``, read after the wait.

    Those that left the yard or the statuses meanwhile are left out.
    """
    rows = Standing.objects.select_for_update(no_key=True, of=("self",))
    found = list(rows.filter(yard_id=yard.id, horse__status__in=statuses).order_by("horse_id"))
    keys = [each.horse_id for each in found]
    here = Horse.objects.filter(yard_id=yard.id, status__in=statuses, id__in=keys)
    horses = {horse.id: horse for horse in here.select_related("yard")}
    held = [each for each in found if each.horse_id in horses]
    for each in held:
        each.horse = horses[each.horse_id]
    return held


def lock_named(viewer: Viewer, raw: object) -> dict[int, Standing]:
    """Lock the standing of the horse that a body names, if the viewer may know of it, by horse key.

    Before the horse is read: what is read after the wait is so.
    """
    return {each.horse_id: each for each in _locked(viewer, [raw])}


def held_of(locked_now: Mapping[int, Standing], horse: Horse) -> Standing:
    """Return the standing that a reading of the horse steps, of those locked or locked now."""
    held = locked_now.get(horse.id)
    if held is None or horse.merged_into_id is not None:
        return locked(horse)
    held.horse = horse
    return held


def lock_all(viewer: Viewer, raws: Iterable[object]) -> None:
    """Lock the standings of every horse that a batch names, in the one order, before its items."""
    _locked(viewer, raws)


def _locked(viewer: Viewer, raws: Iterable[object]) -> list[Standing]:
    return standings.locked(viewer, reading.references(raws).horses)


def yard_at(horse: Horse, at: datetime) -> Yard:
    """Return the yard where the horse stood then; before its first stay, the first stay's."""
    stood = rows.asked(_YARD, {"horse": horse.id, "at": at})
    if not stood or stood[0][0] == horse.yard_id:
        return horse.yard
    return Yard.objects.get(id=stood[0][0])


def inserted(row: Row) -> tuple[Row, bool]:
    """Insert a row, or return the one that holds its id already; True when it is new.

    A correction clashes with another of the same row too, which is an error of the database.
    """
    if getattr(row, "supersedes", None) is not None:
        return once.insert(row)
    if rows.insert(row):
        return row, True
    return once.first(row), False


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


def newest_of(weighing: Weighing) -> Weighing:
    """Return what stands in a weighing's place now: the newest of its chain, mostly itself."""
    later = weighing.superseded_by.first()
    return weighing if later is None else newest_of(later)


def is_superseded(old: Assessment | Weighing) -> bool:
    """Return whether a later one stands in its place."""
    return old.superseded_by.exists()
