"""What somebody has just done to a horse, said on its page, whose address names it."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from django.urls import reverse
from django.utils.translation import gettext

from yards.pages import news
from yards.queries import horses, own_acts
from yards.rules import bidi
from yards.rules.roles import Viewer

ADDED, MOVED, CHANGED = "added", "moved", "changed"


@dataclass(frozen=True, slots=True)
class Done:
    """When the viewer did it last, and what it came to."""

    at: datetime
    said: str


def page(ref: UUID, kind: str) -> str:
    """Return the address of a horse's page on which it is said."""
    return news.told(reverse("scoring:horse", args=[ref]), kind, ref)


def of(viewer: Viewer, kind: str, ref: UUID) -> Done | None:
    """Return what the viewer did; None where they did not. Raises NotFound or NotAllowed."""
    card = horses.get_horse(viewer, ref)
    at = own_acts.last(viewer, ref, f"horse.{_VERBS[kind]}")
    if at is None:
        return None
    name, yard = bidi.isolated(card.name), bidi.isolated(card.yard.name)
    return Done(at, _SAID[kind]().format(name=name, yard=yard))


_VERBS = {ADDED: "registered", MOVED: "moved", CHANGED: "changed"}
_SAID: Mapping[str, Callable[[], str]] = {
    ADDED: lambda: gettext("{name} is on record now, in {yard}."),
    MOVED: lambda: gettext("{name} stands in {yard} now."),
    CHANGED: lambda: gettext("What you changed of {name} is kept."),
}
