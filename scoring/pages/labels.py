"""What the pages call things: uses, places, due days, rates."""

from collections.abc import Callable, Mapping
from datetime import date, datetime
from decimal import Decimal
from typing import Protocol
from zoneinfo import ZoneInfo

from django.utils.formats import date_format
from django.utils.translation import gettext, ngettext

from scoring.queries import wording
from scoring.rules import board, scale
from yards.pages import words
from yards.rules import bidi


class Band(Protocol):
    """The edges of a target band, in points."""

    @property
    def low(self) -> Decimal: ...

    @property
    def high(self) -> Decimal: ...


def written(halves: int) -> str:
    """Return half points as people write them: 3½, ½, 0."""
    whole, half = divmod(halves, 2)
    return (str(whole) if whole or not half else "") + ("½" if half else "")


def kept_for(animal: words.Kept) -> str:
    """Return what an animal is kept for; where nobody said, by which band it is then told."""
    told = words.use_of(animal)
    if not words.is_use_known(animal):
        return gettext("{told}: band as for leisure, to be set").format(told=told)
    return told


def place(name: str) -> str:
    """Return the place in words, or that it has none yet."""
    return wording.place(name).capitalize() if name else gettext("Not yet placed")


def distance(name: str, overall: Decimal | None, band: Band | None) -> str:
    """Return the place with how far the nearest half lies outside the target band.

    Only whole and half points are said; a band of quarter points, or a place by other numbers
    than these, is said without a distance.
    """
    edges = {"above": "high", "below": "low"}
    if overall is None or band is None or name not in edges:
        return place(name)
    nearest = Decimal(scale.nearest_halves(round(overall * 6)) or 0) / 2
    away = abs(nearest - getattr(band, edges[name]))
    if not away or away % Decimal("0.5"):
        return place(name)
    if away == Decimal("0.5"):
        told = gettext("Half a point above target band"), gettext("Half a point below target band")
    elif away == 1:
        told = gettext("1 point above target band"), gettext("1 point below target band")
    else:
        told = gettext("{n} points above target band"), gettext("{n} points below target band")
    return told[name == "below"].format(n=written(int(away * 2)))


def placed(name: str, overall: Decimal | None, band: Band | None) -> str:
    """Return the place as ``distance`` says it, by which half it is where the overall is none.

    An overall of 3.17 stands within a band that ends at 3: without its half that reads wrong.
    """
    told = distance(name, overall, band)
    if overall is None or not name or overall % Decimal("0.5") == 0:
        return told
    half = written(scale.nearest_halves(round(overall * 6)) or 0)
    return gettext("{place}, by the nearest half: {half}").format(place=told, half=half)


def why_placed() -> dict[str, str]:
    """Return the sentence of each place: why the nearest half lies there. A phone says the same."""
    return {
        "within": gettext("Nearest half {half}, within the target band {low} to {high}."),
        "above": gettext("Nearest half {half}, above the target band {low} to {high}."),
        "below": gettext("Nearest half {half}, below the target band {low} to {high}."),
    }


def why(name: str, overall: Decimal | None, band: Band | None) -> str:
    """Return why a score has its place; nothing where it has none."""
    if overall is None or band is None or name not in why_placed():
        return ""
    half = written(scale.nearest_halves(round(overall * 6)) or 0)
    low, high = (edge(each) for each in (band.low, band.high))
    return why_placed()[name].format(half=half, low=low, high=high)


def correction(by: str, reason: str) -> str:
    """Say who put a reading right, which changes nothing about who took it, and why."""
    return gettext("Corrected by {name}: {reason}").format(name=bidi.isolated(by), reason=reason)


def edge(points: Decimal) -> str:
    """Return points as people write them: halves as such, else two decimals."""
    halves = points * 2
    return written(int(halves)) if halves == int(halves) else f"{points:.2f}"


def between(low: Decimal, high: Decimal) -> str:
    """Return a band by its edges alone, where what they are of stands beside."""
    return gettext("{low} to {high}").format(low=edge(low), high=edge(high))


def pelvis_led() -> str:
    """Return the sentence of the pelvis-led score. A phone says the same."""
    return gettext(
        "Pelvis-led {half} (Carroll and Huntington 1988): the score of the hindquarters, moved by "
        "half a point toward a region that is a full point or more away from it."
    )


def due(state: str, on: date, days: int, what: str) -> str:
    """Return what falls due next and when: a day, today, or how long overdue.

    ``what`` is "score", "weight" or "check", the daily look.
    """
    if state == "not_due":
        return _BY[what]().format(day=_day(on))
    if state == "due":
        return _TODAY[what]()
    # A number is not left at the end of a line without its unit.
    return _OVERDUE[what](days).format(days=days).replace(f"{days} ", f"{days}\N{NO-BREAK SPACE}")


def next_due(on: date, what: str) -> str:
    """Return by when what is not due yet falls due, where that must not read as due now."""
    return _NEXT_BY[what]().format(day=_day(on))


def _day(on: date) -> str:
    # A day is not parted from its month at the end of a line.
    return date_format(on, "D j M").replace(" ", "\N{NO-BREAK SPACE}")


_NEXT_BY: Mapping[str, Callable[[], str]] = {
    "score": lambda: gettext("Next score by {day}"),
    "weight": lambda: gettext("Next weighing by {day}"),
    "check": lambda: gettext("Next look by {day}"),
}
_BY: Mapping[str, Callable[[], str]] = {
    "score": lambda: gettext("Score by {day}"),
    "weight": lambda: gettext("Weigh by {day}"),
    "check": lambda: gettext("Look by {day}"),
}
_TODAY: Mapping[str, Callable[[], str]] = {
    "score": lambda: gettext("Score today"),
    "weight": lambda: gettext("Weigh today"),
    "check": lambda: gettext("Look today"),
}
_OVERDUE: Mapping[str, Callable[[int], str]] = {
    "score": lambda n: ngettext("Score overdue {days} day", "Score overdue {days} days", n),
    "weight": lambda n: ngettext("Weight overdue {days} day", "Weight overdue {days} days", n),
    "check": lambda n: ngettext("Look overdue {days} day", "Look overdue {days} days", n),
}


def rate(value: float | None, is_level: bool) -> str:
    """Return the direction in words; a rate whose interval holds zero is about level."""
    if value is None:
        return gettext("Not enough readings")
    if is_level:
        return way(board.LEVEL)
    return way(board.RISING if value > 0 else board.FALLING)


def way(name: str) -> str:
    """Return which way a score goes, wherever that is said or asked for."""
    return _WAYS[name]()


_WAYS: Mapping[str, Callable[[], str]] = {
    board.RISING: lambda: gettext("gaining"),
    board.LEVEL: lambda: gettext("about level"),
    board.FALLING: lambda: gettext("losing"),
    board.NO_RATE: lambda: gettext("no rate to tell"),
}


def at(moment: datetime, zone: str) -> str:
    """Return an instant as people in the yard say it."""
    return date_format(moment.astimezone(ZoneInfo(zone)), "D j M, H:i")


def decimal(value: float | None) -> Decimal | None:
    """Return a float of the filter as a decimal with two places."""
    return None if value is None else Decimal(str(round(value, 2)))
