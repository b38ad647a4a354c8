"""What a page says where there is nothing yet: what is missing, why, and the one thing to do next.

The way on is one that the reader's role may go.
"""

from collections.abc import Sized
from dataclasses import dataclass

from django.urls import reverse
from django.utils.translation import gettext

from yards.pages.tables import Link
from yards.rules.roles import Verb, Viewer, may


@dataclass(frozen=True, slots=True)
class Nothing:
    """What is missing, why, and where to go from here."""

    title: str
    why: str
    onward: Link


def of(viewer: Viewer, places: Sized) -> Nothing:
    """Return what stands in the place of horses where none is to be seen; ``places`` are yards."""
    return _no_horses(viewer) if places else _no_yards(viewer)


def _no_yards(viewer: Viewer) -> Nothing:
    if may(viewer, Verb.CHANGE_YARDS):
        return Nothing(
            gettext("No yards yet"),
            gettext(
                "Horses stand in yards, so a yard comes first: a name and a time zone are enough."
            ),
            Link(reverse("yards:add_yard"), gettext("Add a yard"), go=True),
        )
    return Nothing(
        gettext("No yard is open to you"),
        gettext(
            "A coordinator adds yards and lets people into them. Ask yours: nothing is wrong with "
            "your sign-in."
        ),
        _meanwhile(viewer),
    )


def _no_horses(viewer: Viewer) -> Nothing:
    if may(viewer, Verb.CHANGE_HORSES):
        return Nothing(
            gettext("No horses here yet"),
            gettext("A horse appears here once it is added to one of the yards."),
            Link(reverse("yards:add_horse"), gettext("Add a horse"), go=True),
        )
    why = gettext("A horse appears here once a coordinator has added it to one of your yards.")
    return Nothing(gettext("No horses here yet"), why, _meanwhile(viewer))


def _meanwhile(viewer: Viewer) -> Link:
    if may(viewer, Verb.RECORD_READINGS):
        return Link(reverse("scoring:help_feeling"), gettext("How to feel a horse"))
    return Link(reverse("yards:record"), gettext("Read the record"))
