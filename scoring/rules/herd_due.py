"""Which looks fell due when, told from the readings afterwards, and how each was met.

Nobody writes down what was due on a day that is over. It follows from the readings and the rules
(``due``): after each felt score the next falls due so many days later as its result asks for, and
a horse that was never scored is due on the day it came. A vet's interval counts if it was in force
when the score was taken. Marks of laminitis are those on record now: no older ones are kept.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import NamedTuple

from scoring.rules import due, risk_thin, scale, seen

BY_DUE, IN_A_WEEK, LATER, NOT_DONE, OPEN = "by_due", "in_a_week", "later", "not_done", "open"
# In the order in which they are told; one that is still open is no fault and counts nowhere.
MET = (BY_DUE, IN_A_WEEK, LATER, NOT_DONE, OPEN)
GRACE = timedelta(days=7)
_AT = datetime.fromisoformat("2026-01-01T00:00:00+00:00")


def met(on: date, done: date | None, today: date) -> str:
    """Return how a look that fell due on a day was met, as far as is known today."""
    if done is None:
        return NOT_DONE if today > on + GRACE else OPEN
    if done <= on:
        return BY_DUE
    return IN_A_WEEK if done <= on + GRACE else LATER


class Days(NamedTuple):
    """The days until the next look that a result on one scale asks for."""

    scale: str
    halves: int
    days: int


@dataclass(frozen=True, slots=True)
class Intervals:
    """The rules of ``due`` as tables: days by result, and what else makes them fewer."""

    by_result: tuple[Days, ...]
    by_region: int
    region_at_most: int
    by_crest: int
    crest_at_least: int
    by_laminitis: int
    laminitis: tuple[str, ...]
    by_donkey: int


def intervals() -> Intervals:
    """Return the tables, each asked of the rule itself."""
    told = ("never", "unknown", "past", "within_a_year")
    ordinary = _days()
    return Intervals(
        by_result=tuple(_by_result()),
        by_region=_days(score=_felt(0, 10, 10)),
        region_at_most=max(
            each for each in range(11) if risk_thin.is_emaciated(_felt(each, 10, 10))
        ),
        by_crest=_days(crest=10),
        crest_at_least=min(each for each in range(11) if _days(crest=each) < ordinary),
        by_laminitis=_days(laminitis="past"),
        laminitis=tuple(each for each in told if _days(laminitis=each) < ordinary),
        by_donkey=_days(species="donkey"),
    )


def _days(
    *,
    species: str = "horse",
    laminitis: str = "never",
    score: seen.Score | None = None,
    crest: int | None = None,
) -> int:
    return due.intervals(due.Facts(species, laminitis, score, crest)).score_days


def _felt(neck: int, back: int, hind: int) -> seen.Score:
    return seen.Score(_AT, _AT, scale.FIVE, seen.PALPATED, neck, back, hind)


def _by_result() -> Iterator[Days]:
    for key in scale.SCALES:
        ends = scale.of(key)
        for halves in range(ends.low, ends.high + 1):
            if key == scale.FIVE:
                score = _felt(halves, halves, halves)
            else:
                score = seen.Score(_AT, _AT, key, seen.PALPATED, whole=halves)
            yield Days(key, halves, _days(score=score))
