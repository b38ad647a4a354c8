"""What a horse's record said on a day gone by: its yard, what it was kept for, her breeding.

Where it stood is in its stays. Its row holds what it is kept for now; what was changed by hand is
in the ledger, before and after, so that the day of a change and what held until then are known.
Before a change that has been erased nothing is known of either.
"""

import json
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any, NamedTuple

from django.db import connection

from yards.models import Horse, Stay, Yard, rows

FACTS = ("use", "breeding")
# As ``yards.actions.horses`` enters it.
_CHANGED = "horse.changed"
_ENTRIES = """SELECT entry.at, said.payload FROM yards_entry entry
    LEFT JOIN yards_entrypayload said ON said.entry_id = entry.id
        AND said.organisation_id = entry.organisation_id
    WHERE entry.organisation_id = %s AND entry.target_ref = %s AND entry.verb = %s
    ORDER BY entry.id"""
# Asked with every reading that comes on a later day.
_STAYS = f"""SELECT {rows.columns(Stay, "stay")}, {rows.columns(Yard, "yard")}
    FROM yards_stay stay JOIN yards_yard yard ON yard.id = stay.yard_id
    WHERE stay.horse_id IN (SELECT id FROM yards_horse
        WHERE id = %(horse)s OR merged_into_id = %(horse)s)
    ORDER BY stay.from_at, stay.id"""  # noqa: S608 - constants only


class Change(NamedTuple):
    """A change by hand of what a band hangs on: when, and what stood before; None: erased."""

    at: datetime
    before: Mapping[str, str] | None


class Word(NamedTuple):
    """What the record said of her breeding, until a hand changed it; None: until now."""

    said: str
    until: datetime | None


@dataclass(frozen=True, slots=True)
class Past:
    """One horse's past. ``known_from``: no day before it is on record; ``stays`` oldest first."""

    horse: Horse
    stays: Sequence[Stay]
    changes: Sequence[Change]
    known_from: datetime

    def yard_at(self, at: datetime) -> Yard:
        """Return the yard where it stood; where it stood in none, the next one, else the last."""
        for stay in self.stays:
            if stay.until_at is None or stay.until_at > at:
                return stay.yard
        return self.stays[-1].yard if self.stays else self.horse.yard

    def use_at(self, at: datetime) -> str:
        """Return what it was kept for; it is as it was before the next change."""
        return next((before["use"] for _, before in self._after(at, "use")), self.horse.use)

    def word_at(self, at: datetime) -> Word:
        """Return the word on her breeding as it stood before the next change by hand."""
        for when, before in self._after(at, "breeding"):
            return Word(before["breeding"], when)
        return Word(self.horse.breeding, None)

    def _after(self, at: datetime, name: str) -> Iterator[tuple[datetime, Mapping[str, str]]]:
        for when, before in self.changes:
            if when > at and before is not None and name in before:
                yield when, before

    @property
    def turns(self) -> Iterator[datetime]:
        """Every instant at which anything of this changed."""
        yield from (each.from_at for each in self.stays)
        yield from (each.at for each in self.changes)


def of(horse: Horse) -> Past:
    """Return a horse's past, in two queries; stays of animals that turned out to be it tell since
    when it is known."""
    every = [_stay(each) for each in rows.asked(_STAYS, {"horse": horse.id})]
    changes = list(_changes(horse))
    began = min([horse.created_at, *(each.from_at for each in every)])
    erased = [each.at for each in changes if each.before is None]
    return Past(
        horse=horse,
        stays=[each for each in every if each.horse_id == horse.id],
        changes=changes,
        known_from=max([began, *erased]),
    )


def _stay(values: Sequence[Any]) -> Stay:
    stay: Stay
    stay, stay.yard = rows.several(values, Stay, Yard)
    return stay


def _changes(horse: Horse) -> Iterator[Change]:
    with connection.cursor() as cursor:
        cursor.execute(_ENTRIES, [horse.organisation_id, horse.ref, _CHANGED])
        for at, said in cursor.fetchall():
            if said is None:
                yield Change(at, None)
                continue
            before = json.loads(bytes(said)).get("before", {})
            held = {name: before[name] or "" for name in FACTS if name in before}
            if held:
                yield Change(at, held)
