"""What the visit calls its work: to a vet what waits for a vet, to others whom to call."""

from collections.abc import Callable, Mapping

from django.utils.translation import gettext, ngettext

from scoring.pages import board_shown
from scoring.queries.visit import Open
from scoring.rules import board
from yards.rules.roles import Role, Viewer


def title(viewer: Viewer, group: str) -> str:
    """Return what a group of work is called."""
    own = _TITLES.get(group) if viewer.role is Role.VET else None
    return own() if own is not None else board_shown.title(group)


def hint(viewer: Viewer, group: str, count: int) -> str:
    """Return what is to be done about a group's horses."""
    own = _HINTS.get(group) if viewer.role is Role.VET else None
    return own(count).format(n=count) if own is not None else board_shown.hint(group, count)


def haste(viewer: Viewer, alert: Open) -> str:
    """Return how soon an alert wants somebody; one that a vet has spoken on says so.

    Empty where the usual words do.
    """
    if alert.state == "open" and alert.has_word:
        return gettext("Vet has spoken, not acknowledged")
    if alert.state == "open" and alert.escalated and viewer.role is Role.VET:
        return gettext("Waits for a vet")
    return ""


_TITLES: Mapping[str, Callable[[], str]] = {
    board.CALL_THE_VET: lambda: gettext("A vet is needed now"),
}
_HINTS: Mapping[str, Callable[[int], str]] = {
    board.CALL_THE_VET: lambda n: ngettext(
        "{n} horse. The yard was told to ring its vet and to change no feed before.",
        "{n} horses. The yards were told to ring their vet and to change no feed before.",
        n,
    ),
}
