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


def springs(yards: Iterable[YardCard]) -> str:
    """Return when spring is at some yards, each named where they differ; empty where none has it.

    One sentence.
    """
    by_days: dict[str, list[str]] = {}
    for each in yards:
        own = seasons.Spring(each.spring.first, each.spring.last) if each.spring else None
        by_days.setdefault(days(each.hemisphere, own), []).append(bidi.isolated(each.name))
    if set(by_days) <= {""}:
        return ""
    if len(by_days) == 1:
        [(told, names)] = by_days.items()
        one = gettext("Spring at this yard: {days}.")
        return (one if len(names) == 1 else gettext("Spring at these yards: {days}.")).format(
            days=told
        )
    said = [
        gettext("{yards} {days}").format(yards=_named(names), days=told or gettext("none"))
        for told, names in by_days.items()
    ]
    return gettext("Spring by yard: {each}.").format(each="; ".join(said))


def _named(names: Sequence[str]) -> str:
    if len(names) <= _NAMED:
        return ", ".join(names)
    return gettext("{name} and {n} more").format(name=names[0], n=len(names) - 1)
