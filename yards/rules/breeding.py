"""Where a mare stands between covering and weaning: in foal, in milk, which month, what is next.

The word on her record says whether; the days of her events say since when. Without days the word
stands alone. Months are calendar months, the first beginning on the day itself, counted from the
last covering. Gestation and months of milk with their sources: ``fixtures/breeding.json``. Nothing
here says that a mare is in foal: a vet does.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from functools import cache
from typing import Any

from yards.rules import event, fixture, identity

FOALED = "foaled"
KINDS = ("covered", "found_in_foal", "found_empty", FOALED, "weaned")
NO, PERHAPS, YES = "no", "perhaps", "yes"
IN_FOAL = (NO, PERHAPS, YES)
COVERED_TOO_LONG_AGO, MILK_OVER = "covered_too_long_ago", "milk_over"


class OutOfOrder(ValueError):
    """A day that lies after the day it is counted to; the message names the field and the range."""


@dataclass(frozen=True, slots=True)
class Happened:
    """One event of a mare (``KINDS``) on its local day."""

    kind: str
    on: date


@dataclass(frozen=True, slots=True)
class Gestation:
    """How long a dam carries a sire's foal, in days: mean, usual span, the longest there is."""

    days: int
    earliest: int
    latest: int
    longest: int
    late_from_month: int
    source: str
    confidence: str


@dataclass(frozen=True, slots=True)
class Foaling:
    """When a foal is expected: the mean day and the span in which healthy foals usually come."""

    on: date
    earliest: date
    latest: date
    source: str
    confidence: str


@dataclass(frozen=True, slots=True)
class Bred:
    """Where a mare stands on a day.

    ``in_foal`` is one of ``IN_FOAL``: perhaps, for one that was covered and not found empty since.
    Months are None where the day is not known. ``doubt`` says what in her record does not fit:
    COVERED_TOO_LONG_AGO, MILK_OVER or nothing.
    """

    in_foal: str = NO
    pregnancy_month: int | None = None
    is_late_in_foal: bool = False
    expected: Foaling | None = None
    in_milk: bool = False
    lactation_month: int | None = None
    is_early_in_milk: bool = False
    doubt: str = ""


@cache
def gestation(dam: str, sire: str = "") -> Gestation | None:
    """Return how long a dam carries a sire's foal, by species; without a sire, one of her own.

    None where we found no figure: mules as a rule do not breed, and hinnies are too few.
    """
    for row in fixture.load("breeding")["gestation"]:
        if (row["dam"], row["sire"]) == (dam, sire or dam):
            return Gestation(**{name: row[name] for name in Gestation.__slots__})
    return None


def _milk() -> dict[str, Any]:
    found: dict[str, Any] = fixture.load("breeding")["lactation"]
    return found


def months_of_milk() -> int:
    """Return the months after which a mare counts as dry, weaned or not (NRC 2007, memory)."""
    return int(_milk()["months"])


def _month(field: str, first: date, on: date) -> int:
    if on < first:
        raise OutOfOrder(f"{field}: {first} lies after {on}; give that day or an earlier one")
    return identity.months_between(first, on) + 1


def pregnancy_month(covered_on: date, on: date) -> int:
    """Return the month of pregnancy, from 1 on the day of covering; raises OutOfOrder."""
    return _month("covered_on", covered_on, on)


def lactation_month(foaled_on: date, on: date) -> int:
    """Return the month of milk, from 1 on the day of foaling; raises OutOfOrder."""
    return _month("foaled_on", foaled_on, on)


def expected_foaling(covered_on: date, dam: str, sire: str = "") -> Foaling | None:
    """Return when a foal of this covering is expected, or None where we have no figure."""
    found = gestation(dam, sire)
    if found is None:
        return None
    return Foaling(
        on=covered_on + timedelta(days=found.days),
        earliest=covered_on + timedelta(days=found.earliest),
        latest=covered_on + timedelta(days=found.latest),
        source=found.source,
        confidence=found.confidence,
    )


@dataclass(slots=True)
class _Days:
    """What the events up to a day leave standing."""

    covered: date | None = None
    foaled: date | None = None
    is_weaned: bool = False
    is_found_empty: bool = False

    def take(self, each: Happened) -> None:
        if each.kind == "covered":
            self.covered = each.on
        elif each.kind == "found_empty":
            self.covered, self.is_found_empty = None, True
        elif each.kind == "weaned":
            self.is_weaned = True
        elif each.kind == FOALED:
            self.covered, self.foaled = None, each.on
            self.is_weaned = self.is_found_empty = False


def stands(species: str, word: str, happened: Sequence[Happened], on: date) -> Bred:
    """Return where a mare stands on a day.

    ``word`` is what her record says now (``horse.BREEDING``), ``happened`` her events in order; of
    a day before some of them, the events until then say what the word was.
    """
    if not happened:
        return Bred(in_foal=YES if word == "pregnant" else NO, in_milk=word == "lactating")
    days = _Days()
    for each in happened:
        if each.on <= on:
            days.take(each)
    said = _word_on(species, word, happened, on)
    return _with_milk(_with_foal(Bred(), species, said, days, on), said, days, on)


def _word_on(species: str, word: str, happened: Sequence[Happened], on: date) -> str:
    """Return the word of a day: what it is now, unless an event has changed it since."""
    said, changed_since = "", False
    for each in happened:
        changes = event.changes(each.kind, sex="mare", breeding=said or word)
        if each.on <= on:
            said = changes.get("breeding", said)
        elif "breeding" in changes:
            carries = gestation(species)
            if each.kind == FOALED and carries and (each.on - on).days <= carries.earliest:
                return "pregnant"
            changed_since = True
            break
    return said if changed_since else word


def _with_foal(bred: Bred, species: str, word: str, days: _Days, on: date) -> Bred:
    """Return her with what is known of a foal to come."""
    if word not in ("pregnant", "covered"):
        return bred
    found = replace(bred, in_foal=YES) if word == "pregnant" else bred
    carries = gestation(species)
    if days.covered is None or carries is None:
        return found
    if (on - days.covered).days > carries.longest:
        return replace(found, doubt=COVERED_TOO_LONG_AGO)
    month = pregnancy_month(days.covered, on)
    return replace(
        found,
        in_foal=YES if word == "pregnant" else PERHAPS,
        pregnancy_month=month,
        is_late_in_foal=month >= carries.late_from_month,
        expected=expected_foaling(days.covered, species),
    )


def _with_milk(bred: Bred, word: str, days: _Days, on: date) -> Bred:
    """Return her with what is known of her milk; a mare covered again may be in milk still."""
    if days.foaled is None:
        return replace(bred, in_milk=word == "lactating")
    # Found empty by a scan says nothing of her milk; empty by hand means neither foal nor milk.
    may_milk = word in ("lactating", "covered", "pregnant")
    may_milk = may_milk or (word == "empty" and days.is_found_empty)
    if days.is_weaned or not may_milk:
        return bred
    month = lactation_month(days.foaled, on)
    if month > months_of_milk():
        return replace(bred, doubt=MILK_OVER) if word == "lactating" else bred
    is_early = month <= _milk()["early_until_month"]
    return replace(bred, in_milk=True, lactation_month=month, is_early_in_milk=is_early)
