"""Who can see what, and who looked, as tables."""

from collections.abc import Mapping
from datetime import datetime
from uuid import UUID

from django.urls import reverse
from django.utils.translation import gettext

from yards.pages import entry_words, frame, looked_words, tables, words
from yards.pages.tables import Cell, Row, Table
from yards.queries import paging
from yards.queries.ledger import EntryRow
from yards.queries.sight import Glass, Seer


def seers(found: tuple[Seer, ...], zone: str) -> Table:
    """Return who can see a horse, and why."""
    return Table(
        caption=gettext("Who can see it now"),
        columns=(
            *(gettext("Who"), gettext("As"), gettext("Through")),
            *(gettext("Let in by, and why"), gettext("Until")),
        ),
        rows=[_seer(each, zone) for each in found],
        empty=gettext("Nobody can see it"),
    )


def _seer(seer: Seer, zone: str) -> Row:
    until = words.at(seer.until, zone) if seer.until is not None else gettext("no end")
    page = reverse("yards:person", args=[seer.person.id])
    if seer.grant is None:
        return Row(
            (
                Cell(seer.person.name, href=page),
                Cell(gettext("break-glass")),
                Cell(_through(seer.through)),
                Cell(gettext("two people")),
                Cell(until),
            )
        )
    by = seer.grant.issued_by.name if seer.grant.issued_by else gettext("the server")
    return Row(
        (
            Cell(seer.person.name, href=page),
            Cell(frame.role_label(seer.role), _bounds(seer, zone)),
            Cell(_through(seer.through)),
            Cell(by, seer.grant.reason),
            Cell(until),
        )
    )


def _bounds(seer: Seer, zone: str) -> str:
    return bounds(seer.grant, zone) if seer.grant is not None else ""


def bounds(card: object, zone: str) -> str:
    """Return which part of the record a grant opens, and what it shows besides animal facts."""
    first, last = getattr(card, "record_from", None), getattr(card, "record_until", None)
    said = []
    if first is not None:
        said.append(gettext("the record from {day}").format(day=words.day(first, zone)))
    if last is not None:
        said.append(gettext("the record before {at}").format(at=words.at(last, zone)))
    shown = {
        "sees_contacts": gettext("contacts"),
        "sees_clinical": gettext("clinical notes"),
        "sees_notes": gettext("notes on the case"),
    }
    said += [label for name, label in shown.items() if getattr(card, name, False)]
    return ", ".join(said)


def _through(key: str) -> str:
    return {
        "all_yards": gettext("all yards"),
        "yard": gettext("its yard"),
        "horse": gettext("this horse, by name"),
        "glass": gettext("everything, in need"),
    }[key]


def looks(
    found: paging.Page[EntryRow], named: Mapping[UUID, str], zone: str, *, of_person: bool
) -> Table:
    """Return who looked at a horse, or at what somebody looked."""
    first = gettext("At what") if of_person else gettext("Who")
    return Table(
        caption=gettext("What was looked at") if of_person else gettext("Who looked at it"),
        columns=(first, gettext("What was asked for"), gettext("When"), gettext("How")),
        rows=[_look(each, named, zone, of_person) for each in found.items],
        empty=gettext("No look is on record"),
        empty_hint=gettext(
            "Each look of an auditor, and each look under break-glass, is entered before anything "
            "is shown. Those who look after the horses are not followed."
        ),
        newer=tables.query(cursor=found.previous) if found.previous else "",
        older=tables.query(cursor=found.next) if found.next else "",
    )


def _look(entry: EntryRow, named: Mapping[UUID, str], zone: str, of_person: bool) -> Row:
    kind = entry_words.kind(entry.target_kind)
    ref = entry.target_ref
    about = named.get(ref, kind) if ref is not None else kind
    what = about if of_person else entry.actor_name
    said = entry.payload or {}
    under = gettext("under break-glass") if said.get("glass") else ""
    return Row(
        (
            Cell(what, kind if of_person and what != kind else "", _entry(entry)),
            Cell(looked_words.what(str(said.get("reading", ""))), under),
            Cell(words.at(entry.at, zone)),
            Cell(entry_words.via(entry.via)),
        )
    )


def _entry(entry: EntryRow) -> str:
    return reverse("yards:entry", args=[entry.ref])


def glass(found: list[Glass], zone: str, now: datetime) -> list[tuple[Glass, str, str, str]]:
    """Return each break-glass with its state, what is said of it, and when it was asked for."""
    return [
        (each, each.state(now), _glass(each, zone, now), words.at(each.asked_at, zone))
        for each in found
    ]


def _glass(each: Glass, zone: str, now: datetime) -> str:
    state = each.state(now)
    if state == "asked":
        return gettext("Waits for another person to approve it.")
    if state == "lapsed":
        return gettext("Not approved.")
    until = words.at(each.until_at, zone) if each.until_at is not None else ""
    if state == "in_force":
        return gettext("In force until {at}, approved by {name}.").format(
            at=until, name=each.approved_by
        )
    ended = each.ended_at if each.ended_at is not None else each.until_at
    return gettext("Approved by {name}, over since {at}.").format(
        at=words.at(ended, zone) if ended is not None else "", name=each.approved_by
    )
