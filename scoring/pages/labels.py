"""What the pages call things: uses, places, due days, rates."""

from datetime import date, datetime
from decimal import Decimal
from typing import Protocol
from zoneinfo import ZoneInfo

from django.utils.formats import date_format
from django.utils.translation import gettext, ngettext

from scoring.queries import wording
from scoring.rules import scale
from yards.pages import words


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


def why_placed() -> dict[str, str]:
    """Return the sentence of each place: why the nearest half lies there. A phone says the same."""
    return {
        "within": gettext(
            "To the nearest half this is {half}, within the target band {low} to {high}."
        ),
        "above": gettext(
            "To the nearest half this is {half}, above the target band {low} to {high}."
        ),
        "below": gettext(
            "To the nearest half this is {half}, below the target band {low} to {high}."
        ),
    }


def why(name: str, overall: Decimal | None, band: Band | None) -> str:
    """Return why a score has its place; nothing where it has none."""
    if overall is None or band is None or name not in why_placed():
        return ""
    half = written(scale.nearest_halves(round(overall * 6)) or 0)
    low, high = (_edge(each) for each in (band.low, band.high))
    return why_placed()[name].format(half=half, low=low, high=high)


def _edge(points: Decimal) -> str:
    halves = points * 2
    return written(int(halves)) if halves == int(halves) else f"{points:.2f}"


def pelvis_led() -> str:
    """Return the sentence of the pelvis-led score. A phone says the same."""
    return gettext(
        "Pelvis-led {half} (Carroll and Huntington 1988): the score of the hindquarters, moved by "
        "half a point toward a region that is a full point or more away from it."
    )


def due(state: str, on: date, days: int, what: str) -> str:
    """Return when the next falls due: a day, today, or how long overdue."""
    if state == "not_due":
        return date_format(on, "D j M")
    weigh = what == "weight"
    if state == "due":
        return gettext("Weigh today") if weigh else gettext("Due today")
    if weigh:
        told = ngettext("Weight overdue {days} day", "Weight overdue {days} days", days)
    else:
        told = ngettext("Overdue {days} day", "Overdue {days} days", days)
    # A number is not left at the end of a line without its unit.
    return told.format(days=days).replace(f"{days} ", f"{days}\N{NO-BREAK SPACE}")


def rate(value: float | None, is_level: bool) -> str:
    """Return the direction in words; a rate whose interval holds zero is about level."""
    if value is None:
        return gettext("Not enough readings")
    if is_level:
        return gettext("about level")
    return gettext("gaining") if value > 0 else gettext("losing")


def at(moment: datetime, zone: str) -> str:
    """Return an instant as people in the yard say it."""
    return date_format(moment.astimezone(ZoneInfo(zone)), "D j M, H:i")


def decimal(value: float | None) -> Decimal | None:
    """Return a float of the filter as a decimal with two places."""
    return None if value is None else Decimal(str(round(value, 2)))
