"""What the herd's pages call things: months, places, groups, how a look was met."""

from collections.abc import Callable, Mapping
from datetime import date

from django.utils.formats import date_format
from django.utils.translation import gettext, ngettext

from scoring.rules import herd_due, herd_place, herd_season, herd_wanted
from scoring.rules.herd_months import Month

_LETTERS: Mapping[str, Callable[[], str]] = {
    herd_place.BELOW: lambda: gettext("below"),
    herd_place.WITHIN: lambda: gettext("within"),
    herd_place.ABOVE: lambda: gettext("above"),
    herd_place.UNSAFE: lambda: gettext("not safe to feel"),
    herd_place.SEEN: lambda: gettext("seen only"),
    herd_place.UNREAD: lambda: gettext("no reading"),
    herd_place.ELSEWHERE: lambda: gettext("not here"),
}
_KEY: Mapping[str, Callable[[], str]] = {
    herd_place.ABOVE: lambda: gettext("above its own target band"),
    herd_place.WITHIN: lambda: gettext("within it"),
    herd_place.BELOW: lambda: gettext("below it"),
    herd_place.SEEN: lambda: gettext("seen only, not counted"),
    herd_place.UNSAFE: lambda: gettext("not safe to feel, no overall"),
    herd_place.UNREAD: lambda: gettext("no reading that month"),
}
_SORTS: Mapping[str, Callable[[], str]] = {
    herd_wanted.WORRY: lambda: gettext("Who worries first"),
    herd_wanted.NAME: lambda: gettext("Name"),
    herd_wanted.YARD: lambda: gettext("Yard, then name"),
}
_MET: Mapping[str, Callable[[], str]] = {
    herd_due.BY_DUE: lambda: gettext("by the due day"),
    herd_due.IN_A_WEEK: lambda: gettext("within a week"),
    herd_due.LATER: lambda: gettext("later"),
    herd_due.NOT_DONE: lambda: gettext("not done"),
    herd_due.OPEN: lambda: gettext("still open"),
}
_ENDS: Mapping[str, Callable[[], str]] = {
    herd_season.WINTER: lambda: gettext("End of winter"),
    herd_season.AUTUMN: lambda: gettext("End of autumn"),
}
_YEARS: Mapping[str, Callable[[], str]] = {
    herd_season.THIS: lambda: gettext("the latest"),
    herd_season.LAST: lambda: gettext("the year before"),
}


def letter(told: str) -> str:
    """Return what one month knows of one horse."""
    return _LETTERS[told]()


def key() -> list[tuple[str, str]]:
    """Return the signs of the strip, with what they mean."""
    return [(told, said()) for told, said in _KEY.items()]


def sorts() -> list[tuple[str, str]]:
    """Return the orders to choose from."""
    return [(name, said()) for name, said in _SORTS.items()]


def met(name: str) -> str:
    """Return how a look was met."""
    return _MET[name]()


def end(season: str) -> str:
    """Return what the end of a season is called."""
    return _ENDS[season]()


def year(name: str) -> str:
    """Return which of two years it was."""
    return _YEARS[name]()


def month(told: Month) -> str:
    """Return a month in full, with its year."""
    return date_format(told.first, "F Y")


def month_name(told: Month) -> str:
    """Return a month's name, short."""
    return date_format(told.first, "M")


def day(on: date) -> str:
    """Return a day in full."""
    return date_format(on, "j F Y")


def lately(group: str, months: int) -> str:
    """Return in short why a horse stands where it does in the order of worry."""
    if group == "within":
        return gettext("within")
    if group == "gone":
        return gettext("no longer here")
    told = {
        "below": ngettext("below, {n} month felt", "below, {n} months felt running", months),
        "above": ngettext("above, {n} month felt", "above, {n} months felt running", months),
        "unknown": ngettext("not felt for {n} month", "not felt for {n} months", months),
    }
    return told[group].format(n=months)


def counted(group: str, many: int) -> str:
    """Return how many horses of a page's order stand in a group."""
    told = {
        "below": ngettext(
            "{n} horse below its band when last felt",
            "{n} horses below their band when last felt",
            many,
        ),
        "above": ngettext(
            "{n} horse above its band when last felt",
            "{n} horses above their band when last felt",
            many,
        ),
        "unknown": ngettext(
            "{n} horse not felt for three months", "{n} horses not felt for three months", many
        ),
        "within": ngettext("{n} horse within", "{n} horses within", many),
        "gone": ngettext("{n} horse no longer here", "{n} horses no longer here", many),
    }
    return told[group].format(n=many)
