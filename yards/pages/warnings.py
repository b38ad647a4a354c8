"""What stands above pages before a grant ends, and while somebody looks under break-glass."""

from datetime import datetime

from django.urls import reverse
from django.utils.translation import gettext

from yards.pages import clocks, words
from yards.pages.frame import Banner
from yards.queries import endings, sight, yards
from yards.rules import bidi
from yards.rules.roles import Role, Verb, Viewer, may


def own_end(viewer: Viewer, now: datetime, _path: str) -> Banner | None:
    """Tell a person that their own access ends within days, or that they look in need."""
    until = viewer.expires_at
    if until is None or until - now > endings.WARNED:
        return None
    at = words.at(until, clocks.zone_of(yards.all_yards(viewer)))
    if viewer.glass is not None:
        text = gettext("Break-glass until {at}: you see everything, and each look is recorded.")
        return Banner(text.format(at=at), reverse("yards:glass"), gettext("End it"))
    text = gettext("Your access here ends at {at}. Ask whoever let you in if you need longer.")
    return Banner(text.format(at=at), reverse("scoring:help_who"), gettext("Whom to ring"))


def ends_of_others(viewer: Viewer, now: datetime, _path: str) -> Banner | None:
    """Tell a coordinator whose grant, issued by them, ends within days; one query."""
    if viewer.role is not Role.COORDINATOR:
        return None
    found = endings.of_mine(viewer, now)
    if not found:
        return None
    name, until = found[0].person.name, found[0].until
    at = words.at(until, clocks.zone_of(yards.all_yards(viewer)))
    text = gettext("The access of {name} ends at {at}.").format(name=bidi.isolated(name), at=at)
    if len(found) > 1:
        more = gettext("The access of {n} people whom you let in ends soon, first that of {name}.")
        text = more.format(n=len(found), name=bidi.isolated(name))
    return Banner(text, reverse("yards:people"), gettext("People"))


def glass(viewer: Viewer, now: datetime, _path: str) -> Banner | None:
    """Tell every coordinator of break-glass in force or asked for; one query."""
    if not may(viewer, Verb.APPROVE_BREAKING_GLASS):
        return None
    looking, asked = sight.glass_now(viewer, now)
    if not looking and not asked:
        return None
    text = (
        gettext("Somebody looks at everything here now, under break-glass.")
        if looking
        else gettext("Somebody asks to look at everything here, for an hour.")
    )
    return Banner(text, reverse("yards:glass"), gettext("Who, and why"))
