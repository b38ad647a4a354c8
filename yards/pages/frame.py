"""What stands around every page: whose organisation, who is signed in, where to go."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.utils.translation import gettext

from yards.queries import people, role_words
from yards.rules.roles import Role, Verb, Viewer, may


@dataclass(frozen=True, slots=True)
class Banner:
    """What stands above every page until it is seen to: its words, and where to go."""

    text: str
    href: str
    link: str


# What there is to say above a page, by who reads it when, and by its path; filled by app configs.
banners: list[Callable[[Viewer, datetime, str], Banner | None]] = []


def role_label(role: str) -> str:
    """Return what a role is called, in the reader's language."""
    return role_words.label(role)


def frame(
    viewer: Viewer,
    *,
    name: str,
    now: datetime,
    current: str = "",
    theme: str = "",
    path: str = "",
) -> dict[str, Any]:
    """Return the base template's ``frame``; ``now`` in the zone of the page's yard.

    ``name``: what the person is called who reads it.
    """
    places: list[tuple[str, str, Verb | None]] = [
        *_desk(viewer),
        ("scoring:board", gettext("Yard board"), Verb.READ_STANDING),
        ("scoring:rounds", gettext("Round"), Verb.WALK_ROUNDS),
        ("scoring:alerts", gettext("Alerts"), Verb.READ_ALERTS),
        ("scoring:due", gettext("Due"), Verb.READ_STANDING),
        ("scoring:herd", gettext("Herd"), Verb.READ_STANDING),
        ("scoring:visit", gettext("Visit"), Verb.READ_VISIT),
        ("yards:horses", gettext("Horses"), Verb.READ_HORSES),
        ("yards:yards", gettext("Yards"), Verb.READ_YARDS),
        ("yards:people", gettext("People"), Verb.READ_PEOPLE),
        ("yards:record", gettext("Record"), Verb.READ_LEDGER),
        ("scoring:help", gettext("Help"), None),
    ]
    return {
        "organisation": viewer.organisation,
        "organisation_name": people.organisation_name(viewer),
        "person": viewer.person,
        "person_name": name,
        "role_label": role_label(viewer.role.value),
        "is_vet": viewer.role is Role.VET,
        "now": now,
        "banners": [each for say in banners if (each := say(viewer, now, path)) is not None],
        "theme": theme if theme in {"dark", "sun", "light"} else "",
        "nav": [
            {"label": label, "url_name": name, "current": name == current}
            for name, label, verb in places
            if verb is None or may(viewer, verb)
        ],
    }


def _desk(viewer: Viewer) -> list[tuple[str, str, Verb | None]]:
    """Return the officer's way in, first for whoever comes to look; others go by the record."""
    if viewer.role is not Role.AUDITOR:
        return []
    return [("scoring:desk", gettext("Officer's desk"), Verb.READ_DESK)]


def page(
    request: HttpRequest,
    viewer: Viewer,
    template: str,
    context: dict[str, Any],
    *,
    now: datetime,
    zone: str,
    current: str = "",
    status: int = 200,
) -> HttpResponse:
    """Return a page in its frame, with every time on it in the yard's zone."""
    local = now.astimezone(ZoneInfo(zone))
    name: str = request.user.name  # type: ignore[union-attr]
    around = frame(viewer, name=name, now=local, current=current, path=request.path)
    with timezone.override(ZoneInfo(zone)):
        return render(request, template, {"frame": around, **context}, status=status)
