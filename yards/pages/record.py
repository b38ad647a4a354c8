"""The record: what was done, by whom and when, entry by entry."""

from collections.abc import Mapping
from datetime import datetime
from typing import Any
from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.utils.text import capfirst
from django.utils.translation import gettext
from django.views.decorators.http import require_safe

from yards.access import doors
from yards.pages import clocks, entry_words, frame, payload_words, tables, words
from yards.pages.screen import screen
from yards.queries import ledger, names, yards
from yards.rules import address
from yards.rules.roles import Verb, Viewer, may

# As much of a fingerprint as people compare at a glance; the entry's page has it whole.
SHORT = 12


@require_safe
@screen("record")
def record(request: HttpRequest, viewer: Viewer, now: datetime) -> HttpResponse:
    """List the ledger's entries, newest first, all or of one group, or about one thing."""
    group, about = request.GET.get("group", ""), request.GET.get("about", "")
    kept = {"group": group if group in entry_words.GROUPS else None, "about": about or None}
    found = ledger.list_entries(
        viewer,
        target=address.ref(about),
        verbs=entry_words.GROUPS.get(group, ()),
        cursor=request.GET.get("cursor"),
    )
    zone = _zone(viewer)
    known = names.of(viewer, [ref for each in found.items for ref in _abouts(each)])
    context = {
        "title": gettext("Record"),
        "lead": gettext(
            "Every change, with who and when. No entry is ever altered or removed. Erasing a "
            "person takes out their name and what entries said about them; each fingerprint stays."
        ),
        "filters": [{"label": gettext("What about"), "choices": _groups(kept)}, *_about(kept)],
        "table": tables.Table(
            caption=gettext("Entries of the record"),
            columns=(
                gettext("What happened"),
                gettext("About"),
                gettext("When"),
                gettext("Fingerprint"),
            ),
            rows=[_row(each, known, zone) for each in found.items],
            empty=gettext("Nothing recorded here yet"),
            empty_hint=gettext("Each reading and change comes here, in its group."),
            onward=tables.Link(reverse("yards:record"), gettext("All entries")),
            newer=_page(kept, found.previous),
            older=_page(kept, found.next),
        ),
        "note": f"{standing_line()} {clocks.named(zone)}",
    }
    return frame.page(
        request, viewer, "yards/list.html", context, now=now, zone=zone, current="yards:record"
    )


def standing_line() -> str:
    """Say what a fingerprint shows, and what it does not."""
    return gettext(
        "The fingerprint shows later that this entry is unaltered. It does not show that a score "
        "was right."
    )


def _zone(viewer: Viewer) -> str:
    return clocks.zone_of(yards.all_yards(viewer) if may(viewer, Verb.READ_YARDS) else ())


def _groups(kept: Mapping[str, str | None]) -> list[tables.Filter]:
    about = kept["about"]
    every = tables.Filter(tables.query(about=about), gettext("Everything"), not kept["group"])
    return [every] + [
        tables.Filter(
            tables.query(group=key, about=about), entry_words.group(key), kept["group"] == key
        )
        for key in entry_words.GROUPS
    ]


def _about(kept: Mapping[str, str | None]) -> list[dict[str, Any]]:
    """Return the way back from the entries about one thing; nothing where all are listed."""
    if not kept["about"]:
        return []
    here, all_of_it = tables.query(**kept), tables.query(group=kept["group"])
    choices = [
        tables.Filter(here, gettext("This one"), True),
        tables.Filter(all_of_it, gettext("Anything"), False),
    ]
    return [{"label": gettext("Of which thing"), "choices": choices}]


def _page(kept: Mapping[str, str | None], cursor: str | None) -> str:
    return tables.query(**kept, cursor=cursor) if cursor else ""


def _abouts(entry: ledger.EntryRow) -> list[UUID]:
    """Return the ids by whose names people know what an entry is about, the nearest first."""
    said = entry.payload or {}
    found = [next(payload_words.refs(said.get(name)), None) for name in ("horse", "person")]
    return [each for each in (entry.target_ref, *found) if each is not None]


def _row(entry: ledger.EntryRow, known: Mapping[UUID, str], zone: str) -> tables.Row:
    named = next((known[ref] for ref in _abouts(entry) if ref in known), "")
    kind = entry_words.kind(entry.target_kind)
    return tables.Row(
        (
            tables.Cell(_sentence(entry), href=reverse("yards:entry", args=[entry.ref])),
            tables.Cell(named, kind) if named else tables.Cell(capfirst(kind)),
            tables.Cell(words.at(entry.at, zone), entry_words.via(entry.via)),
            tables.Cell(f"{entry.leaf[:SHORT]}…"),
        )
    )


def _sentence(entry: ledger.EntryRow) -> str:
    return entry_words.sentence(entry.verb, entry_words.actor(entry.actor, entry.actor_name))


@require_safe
@screen("entry", "entry")
def entry(request: HttpRequest, viewer: Viewer, now: datetime, id: UUID) -> HttpResponse:
    """Show one entry whole: what it says, its bytes, their fingerprint."""
    found = ledger.get_entry(viewer, id)
    doors.require(viewer, Verb.READ_LEDGER)
    zone = _zone(viewer)
    ids = (*_abouts(found), *payload_words.refs(found.payload))
    known = names.of(viewer, ids)
    about = tables.query(about=str(found.target_ref)) if found.target_ref else ""
    context: dict[str, Any] = {
        "title": _sentence(found),
        "entry": found,
        "at": words.at(found.at, zone),
        "zone": zone,
        "actor": entry_words.actor(found.actor, found.actor_name),
        "via": entry_words.via(found.via),
        "kind": capfirst(entry_words.kind(found.target_kind)),
        "named": next((known[ref] for ref in _abouts(found) if ref in known), ""),
        "about": f"{reverse('yards:record')}{about}" if about else "",
        "said": None if found.payload is None else payload_words.said(found.payload, known),
        "body": found.body.decode(),
        "standing_line": standing_line(),
    }
    return frame.page(
        request, viewer, "yards/entry.html", context, now=now, zone=zone, current="yards:record"
    )
