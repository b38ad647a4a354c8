"""What a horse weighs: the last weight as it was read, and beside it the level by all readings."""

from datetime import datetime
from decimal import Decimal
from typing import Protocol

from django.utils.translation import gettext

from scoring.pages import choices
from yards.pages import words
from yards.queries import tastes


class Read(Protocol):
    """A weight as it was read: kilograms, by which method, when."""

    @property
    def kg(self) -> Decimal: ...

    @property
    def method(self) -> str: ...

    @property
    def at(self) -> datetime: ...


def lines(read: Read | None, level_kg: Decimal | None, zone: str) -> list[str]:
    """Return both, each by its name: the level is smoothed, and nobody read it.

    ``level_kg`` is None where the last reading is too old to tell one.
    """
    if read is None:
        return [gettext("Not weighed yet")]
    told = gettext("Last reading {weight}, {method}, on {on}.")
    last = told.format(
        weight=tastes.weight(read.kg),
        method=choices.method(read.method),
        on=words.day(read.at, zone),
    )
    if level_kg is None:
        return [last, gettext("Too long ago to tell a level.")]
    level = gettext("Level by all readings {weight}.")
    return [last, level.format(weight=tastes.weight(level_kg))]
