"""The herd's tables as files: comma-separated, each text made harmless to a spreadsheet.

Their columns and words are fixed and in English, as a file's are; dates as ISO 8601 has them.
"""

from collections.abc import Iterable, Sequence
from datetime import datetime

from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_safe

from scoring.pages import csv_file
from scoring.pages import herd as pages
from scoring.queries import herd_ends, herd_met, herd_months, herd_scope
from scoring.rules import herd_due, herd_place, herd_season, herd_share
from yards.pages.screen import screen
from yards.rules.roles import Viewer

_SAID = {
    **herd_place.PLACES,
    herd_place.UNSAFE: "not_safe",
    herd_place.SEEN: "seen_only",
    herd_place.UNREAD: "no_reading",
    herd_place.ELSEWHERE: "not_here",
}


@require_safe
@screen("herd as CSV")
def herd(request: HttpRequest, viewer: Viewer, now: datetime) -> HttpResponse:
    """Answer every horse's months."""
    found = pages.scope(request, viewer, now)
    rows = [
        (
            *(str(each.horse), each.name, each.yard_name, each.use, each.group),
            *(_SAID[letter] for letter in each.letters),
        )
        for each in herd_months.strip(found, size=None).rows
    ]
    head = ("id", "horse", "yard", "use", "group", *map(str, found.months))
    return _file("herd", found, head, rows)


@require_safe
@screen("herd at the ends of seasons as CSV")
def seasons(request: HttpRequest, viewer: Viewer, now: datetime) -> HttpResponse:
    """Answer the counts by half points; days of several yards are joined by a space."""
    found = pages.scope(request, viewer, now)
    rows = []
    for each in herd_ends.tallies(found, now=now):
        start = (f"end_of_{each.season}", " ".join(map(str, each.days)))
        for scale, steps in each.steps.items():
            rows += [
                (*start, scale, f"{step / 2:.1f}", str(count))
                for step, count in sorted(steps.items())
            ]
        rows.append((*start, "", "not_known", str(each.unknown)))
    near = str(herd_season.NEAR.days)
    head = ("when", "days", "scale", "points_outside_own_band", f"horses_felt_within_{near}_days")
    return _file("herd-seasons", found, head, rows)


@require_safe
@screen("shares of the herd as CSV")
def shares(request: HttpRequest, viewer: Viewer, now: datetime) -> HttpResponse:
    """Answer counts by month, and shares with their intervals where there are enough horses."""
    found = pages.scope(request, viewer, now)
    rows = []
    for month, each in zip(found.months, herd_months.counts(found), strict=True):
        known = sum(each[letter] for letter in herd_place.PLACES)
        told = [str(each[letter]) for letter in (*herd_place.PLACES, *herd_place.UNKNOWN)]
        for letter in herd_place.PLACES:
            share = herd_share.share(each[letter], known)
            told += ["", "", ""] if share is None else [f"{part:.4f}" for part in share]
        rows.append((str(month), str(known), *told))
    names = list(herd_place.PLACES.values())
    head = (
        *("month", "known", *names),
        *(_SAID[letter] for letter in herd_place.UNKNOWN),
        *(f"{name}_{part}" for name in names for part in ("share", "low_80", "high_80")),
    )
    return _file("herd-shares", found, head, rows)


@require_safe
@screen("punctuality of the herd as CSV")
def met(request: HttpRequest, viewer: Viewer, now: datetime) -> HttpResponse:
    """Answer how looks were met by month, and then by yard."""
    found = pages.scope(request, viewer, now)
    told = herd_met.punctuality(found)
    rows = [
        (str(month), "", *(str(each.counts[name]) for name in herd_due.MET))
        for month, each in told.months
    ]
    rows += [
        ("", name, *(str(each.counts[one]) for one in herd_due.MET)) for name, each in told.yards
    ]
    return _file("herd-punctuality", found, ("month", "yard", *herd_due.MET), rows)


def _file(
    name: str, found: herd_scope.Scope, head: Sequence[str], rows: Iterable[Sequence[str]]
) -> HttpResponse:
    return csv_file.response(f"{name}-{found.today}", head, rows)
