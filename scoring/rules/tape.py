"""How a tape is laid and when: ``fixtures/tape.json``, each line with its source beside it."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import timedelta
from fractions import Fraction
from functools import cache
from typing import Any

from yards.rules import fixture


@dataclass(frozen=True, slots=True)
class Habit:
    """When earlier readings count as a habit, and how far an hour may lie from it.

    The newest so many within ``span`` are looked at; from ``fewest`` on there is a habit where at
    least a ``share`` of them agree.
    """

    span: timedelta
    newest: int
    fewest: int
    share: Fraction
    hours: timedelta


def _data() -> Any:
    return fixture.load("tape")


def sides() -> tuple[str, ...]:
    """Return the sides that a tape can be read on."""
    return tuple(_data()["sides"])


def positions() -> tuple[str, ...]:
    """Return the places of the withers that a tape can lie on."""
    return tuple(each["value"] for each in _data()["positions"])


def position_texts() -> dict[str, str]:
    """Return what each place is called, by its value."""
    return {each["value"]: each["text"] for each in _data()["positions"]}


def placement() -> Sequence[str]:
    """Return how a tape is laid, a line each."""
    return [each["text"] for each in _data()["placement"]]


def same_hour() -> Sequence[str]:
    """Return when to weigh and with what, a line each."""
    return [each["text"] for each in _data()["same_hour"]]


@cache
def habit() -> Habit:
    """Return what makes a habit."""
    row = _data()["habit"]
    above, below = row["share"]
    return Habit(
        span=timedelta(days=row["days"]),
        newest=row["newest"],
        fewest=row["fewest"],
        share=Fraction(int(above), int(below)),
        hours=timedelta(hours=row["hours"]),
    )
