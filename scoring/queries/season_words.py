"""Spring as each yard has it: in the other half of the world it is half a year away."""

from collections.abc import Iterable, Sequence
from datetime import date

from django.utils.formats import date_format
from django.utils.translation import gettext

from yards.queries.yards import YardCard
from yards.rules import bidi, seasons

_NAMED = 6


def day(month_day: str) -> str:
    """Return a day of any year, in short."""
    # A leap year, so that 29 February is a day.
    return date_format(date(2024, int(month_day[:2]), int(month_day[3:])), "j M")


def days(hemisphere: str, spring: seasons.Spring | None) -> str:
    """Return the first and last day of a yard's spring, empty where it has none."""
    held = seasons.spring_held(hemisphere, spring)
    if held is None:
        return ""
    return gettext("{first} to {last}").format(first=day(held.first), last=day(held.last))


def until(first: str, last: str) -> str:
    """Return a spring's last day, and that the yard itself set it where no hemisphere has it so.

    Without that, days that are unusual read like a mistake.
    """
    usual = seasons.Spring(first, last) in seasons.METEOROLOGICAL.values()
    return day(last) if usual else gettext("{day}, set by the yard itself").format(day=day(last))


def told(card: YardCard) -> str:
    """Return a yard's spring, and that it set it itself where it is not its hemisphere's."""
    own = seasons.Spring(card.spring.first, card.spring.last) if card.spring else None
    said = days(card.hemisphere, own)
    if own is None or own == seasons.METEOROLOGICAL.get(card.hemisphere):
        return said
    return gettext("{days}, set by the yard itself").format(days=said)


def where(yards: Sequence[YardCard]) -> str:
    """Return yards of one spring with its days."""
    names = _named([bidi.isolated(each.name) for each in yards])
    return gettext("{yards} (spring {days})").format(yards=names, days=told(yards[0]))


def springs(yards: Iterable[YardCard]) -> str:
    """Return when spring is at some yards, each named where they differ; empty where none has it.

    One sentence.
    """
    by_days: dict[str, list[str]] = {}
    for each in yards:
        by_days.setdefault(told(each), []).append(bidi.isolated(each.name))
    if set(by_days) <= {""}:
        return ""
    if len(by_days) == 1:
        [(held, names)] = by_days.items()
        one = gettext("Spring at this yard: {days}.")
        return (one if len(names) == 1 else gettext("Spring at these yards: {days}.")).format(
            days=held
        )
    said = [
        gettext("{yards} {days}").format(yards=_named(names), days=held or gettext("none"))
        for held, names in by_days.items()
    ]
    return gettext("Spring by yard: {each}.").format(each="; ".join(said))


def _named(names: Sequence[str]) -> str:
    if len(names) <= _NAMED:
        return ", ".join(names)
    return gettext("{name} and {n} more").format(name=names[0], n=len(names) - 1)
