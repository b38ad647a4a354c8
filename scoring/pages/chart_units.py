"""What a trend's unit is in the reader's: a factor for drawings, a figure for words."""

from decimal import Decimal
from typing import Protocol

from django.utils.formats import number_format
from django.utils.translation import gettext

from scoring.pages import labels
from scoring.queries import trend
from yards.queries import tastes
from yards.rules import units


class Band(Protocol):
    """The edges of a band, in points."""

    @property
    def low(self) -> Decimal | float: ...

    @property
    def high(self) -> Decimal | float: ...


def times(measure: str) -> float:
    """Return what a value of a measure is multiplied by."""
    mine = tastes.current()
    if measure == trend.WEIGHT and mine.weight == units.LB:
        return 1 / float(units.KG_PER_LB)
    if measure in (trend.HEART_GIRTH, trend.BELLY_GIRTH) and mine.length == units.IN:
        return 1 / float(units.CM_PER_IN)
    return 1.0


def name(measure: str) -> str:
    """Return the unit's short name; points have none on their axis."""
    mine = tastes.current()
    return tastes.name(mine.weight if measure == trend.WEIGHT else mine.length)


def said(measure: str, value: Decimal | float) -> str:
    """Return a value that is kept in kilograms, centimetres or points, in words."""
    if measure == trend.WEIGHT:
        return tastes.weight(round(Decimal(str(value)), 1))
    if measure in (trend.HEART_GIRTH, trend.BELLY_GIRTH):
        return tastes.length(round(Decimal(str(value)), 1))
    return points(value)


def exactly(measure: str, value: Decimal) -> str:
    """Return a reading as it was taken, an overall to its two places."""
    return points_2(value) if measure == trend.SCORE else said(measure, value)


def points(value: Decimal | float) -> str:
    """Return points with one place: means and trends are decimals, what a hand felt is not."""
    return number_format(round(Decimal(str(value)), 1), 1)


def points_2(value: Decimal | float) -> str:
    """Return points with two places, as an overall is told."""
    return number_format(round(Decimal(str(value)), 2), 2)


def in_points(value: Decimal | float) -> str:
    """Return how far a score is from another, with its unit."""
    return gettext("{value} points").format(value=points_2(value))


def signed(value: float) -> str:
    """Return a rate with two places and its sign, a true minus among the signs."""
    size = points_2(abs(value))
    return size if round(value, 2) == 0 else ("+" if value > 0 else "−") + size


def amount(value: float) -> str:
    """Return a tick of an axis."""
    return number_format(Decimal(str(round(value, 1))).normalize().to_eng_string())


def edge(value: Decimal | float) -> str:
    """Return an edge of a band: whole and half points as people write them."""
    halves = float(value) * 2
    return labels.written(int(halves)) if halves % 1 == 0 else points_2(value)


def band(found: Band) -> str:
    """Return a band in words."""
    told = gettext("Target band {low} to {high}")
    return told.format(low=edge(found.low), high=edge(found.high))
