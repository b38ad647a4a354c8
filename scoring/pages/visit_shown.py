"""The vet's visit as its template shows it: by work, by yard, a horse at a time."""

import functools
from collections.abc import Callable, Mapping, Sequence
from datetime import datetime
from typing import Any

from django.urls import reverse
from django.utils.translation import gettext, ngettext

from scoring.pages import (
    came,
    chart_units,
    done,
    labels,
    vet_shown,
    visit_vet,
    visit_words,
    weight_said,
)
from scoring.queries import visit as queries
from scoring.queries import wording
from scoring.queries.visit import Seen
from scoring.rules import board, visit
from yards.pages import tables, words
from yards.rules import bidi
from yards.rules.roles import Verb, Viewer, may


def groups(
    viewer: Viewer, found: queries.Visit, here: str, saved: done.Done | None
) -> list[dict[str, Any]]:
    """Return the groups that the page holds horses of, in the order of work, each by yard.

    ``here`` is where the forms lead back to; ``saved`` what somebody has just saved on one of them.
    """
    by_yard = functools.partial(_by_yard, viewer, here, saved)
    told = []
    for key in board.GROUPS:
        held = [each for each in found.seen if each.row.group == key]
        if not held:
            continue
        folded = key == board.NOTHING_TO_DO
        count = found.counts[key]
        made = {
            "key": key,
            "title": visit_vet.title(viewer, key),
            "hint": visit_vet.hint(viewer, key, count),
            "left": max(0, count - len(held)),
        }
        # What waits for an answer is not folded away with those that wait for nothing.
        asked = [each for each in held if folded and each.asked]
        if asked:
            told.append(_asked(asked) | {"yards": by_yard(asked)})
            held = [each for each in held if not each.asked]
            made["hint"] = visit_vet.hint(viewer, key, count - len(asked))
        if held:
            news = {
                "folded": folded,
                "new": _new(held) if folded else "",
                "open": _is_open(held, saved),
            }
            told.append(made | news | {"yards": by_yard(held)})
    return told


def _asked(held: Sequence[Seen]) -> dict[str, Any]:
    said = ngettext(
        "{n} horse with an open question and nothing else to do.",
        "{n} horses with an open question and nothing else to do.",
        len(held),
    )
    return {
        "key": "asked_about",
        "title": gettext("A question is open"),
        "hint": said.format(n=len(held)),
    }


def _new(held: Sequence[Seen]) -> str:
    new = sum(not each.news.is_empty for each in held)
    told = ngettext("{n} of them with something new", "{n} of them with something new", new)
    return told.format(n=new) if new else ""


def _is_open(held: Sequence[Seen], saved: done.Done | None) -> bool:
    """Return whether a folded group is shown open: it holds the horse that was come back to."""
    return saved is not None and any(each.row.horse_id == saved.horse for each in held)


def _by_yard(
    viewer: Viewer, here: str, saved: done.Done | None, held: Sequence[Seen]
) -> list[dict[str, Any]]:
    names = sorted(
        {(each.row.yard_name.casefold(), each.row.yard_name, each.yard) for each in held}
    )
    return [
        {
            "name": name,
            "vet": next((each.row.vet for each in held if each.yard == ref), None),
            "horses": [_horse(viewer, each, here, saved) for each in held if each.yard == ref],
        }
        for _, name, ref in names
    ]


def _horse(viewer: Viewer, seen: Seen, here: str, saved: done.Done | None) -> dict[str, Any]:
    row = seen.row
    return {
        "id": row.horse_id,
        "name": row.name,
        "use": labels.kept_for(row),
        "why": _why(seen),
        "done": saved if saved is not None and saved.horse == row.horse_id else None,
        "alerts": [_alert(viewer, each) for each in seen.alerts],
        "score": _score(seen),
        "scored": reverse("scoring:scored", args=[seen.scored]) if seen.scored else "",
        "trend": _trend(seen),
        "weights": weight_said.lines(seen.weighed, seen.weight_kg, seen.zone),
        "orders": vet_shown.orders(viewer, seen.orders, seen.zone, seen.now),
        "due": labels.due(row.due.state, row.due.on, row.due.days, row.due.what),
        "is_due": row.due.state != "not_due",
        "since": words.day(seen.since.on),
        "changes": visit_words.changes(seen),
        "news": visit_words.news(seen),
        "links": _links(viewer, seen, here),
    }


def _why(seen: Seen) -> list[str]:
    """Return why a horse is on the list besides its alerts."""
    why = []
    if seen.asked:
        why.append(
            ngettext(
                "{n} open question to the vet", "{n} open questions to the vet", seen.asked
            ).format(n=seen.asked)
        )
    if seen.row.due.state != "not_due" and not seen.alerts:
        due = seen.row.due
        why.append(labels.due(due.state, due.on, due.days, due.what))
    return why


def _alert(viewer: Viewer, found: queries.Open) -> dict[str, Any]:
    return {
        "id": found.ref,
        "severity": found.severity,
        "state": found.state,
        "escalated": found.escalated,
        "passed": found.passed,
        "haste": visit_vet.haste(viewer, found),
        "label": wording.title(found.rule),
        "reason": wording.say(*found.said),
    }


def _score(seen: Seen) -> str:
    """Return the last score with its range, its day and its place in the band."""
    row = seen.row
    place = labels.placed(row.place, row.overall, row.band)
    if row.overall is None or seen.scored_at is None:
        return place if seen.scored_at is not None else gettext("No score yet")
    told = gettext("{overall} on {on}. {place}")
    if row.low is not None and row.high is not None:
        told = gettext("{overall} on {on}, 80% range {low} to {high}. {place}")
    return told.format(
        overall=f"{row.overall:.2f}",
        on=words.day(seen.scored_at, seen.zone),
        low=f"{row.low:.1f}" if row.low is not None else "",
        high=f"{row.high:.1f}" if row.high is not None else "",
        place=place + _band(seen),
    )


def _band(seen: Seen) -> str:
    band = seen.row.band
    if band is None:
        return ""
    low, high = (chart_units.edge(each) for each in (band.low, band.high))
    return " " + gettext("({low} to {high})").format(low=low, high=high)


def _trend(seen: Seen) -> str:
    """Return the trend in words; a rate only where its range holds no standing still."""
    row = seen.row
    if row.rate_lacks or row.rate_per_month is None:
        return wording.say(row.rate_lacks) if row.rate_lacks else labels.rate(None, False)
    said = labels.rate(row.rate_per_month, row.rate_is_level)
    if row.rate_is_level:
        return words.capital(said)
    told = gettext("{way}, {rate} points a month")
    said = told.format(way=said, rate=chart_units.signed(row.rate_per_month))
    return words.capital(said)


def _links(viewer: Viewer, seen: Seen, here: str) -> list[tables.Link]:
    """Return where a horse on the list leads, the daily work first."""
    back = f"{here}#horse-{seen.row.horse_id}"
    offered = [
        ("scoring:score", gettext("Assess"), Verb.RECORD_READINGS),
        ("scoring:weigh", gettext("Weigh"), Verb.RECORD_READINGS),
        ("scoring:vet_order", gettext("Vet's order"), Verb.OVERRIDE_BANDS),
        ("scoring:write_note", gettext("Clinical note"), Verb.WRITE_CLINICAL),
        ("scoring:ask", gettext("Ask the vet"), Verb.ASK_VET),
    ]
    return [
        tables.Link(
            came.linked(reverse(page, args=[seen.row.horse_id]), back if page in _LED_BACK else ""),
            told,
            seen.row.name,
        )
        for page, told, verb in offered
        if may(viewer, verb)
    ]


_LED_BACK = frozenset({"scoring:vet_order", "scoring:write_note", "scoring:ask"})


def ending(viewer: Viewer, found: queries.Visit, here: str, now: datetime) -> list[dict[str, Any]]:
    """Return the orders that end soon."""
    return [vet_shown.order(viewer, each, found.zone, now, back=here) for each in found.ending]


def asked(viewer: Viewer, found: queries.Visit, here: str) -> list[dict[str, Any]]:
    """Return the questions that wait."""
    return [vet_shown.question(viewer, each, found.zone, back=here) for each in found.questions]


def since(found: queries.Visit) -> list[str]:
    """Return from when changes are told: a sentence for each reason, with the yards' own days."""
    told = []
    for why, words_of in _SINCE.items():
        days = [(name, each.on) for name, each in found.since if each.why == why]
        if not days:
            continue
        whole = len(days) == len(found.since) and len({on for _, on in days}) == 1
        if whole:
            told.append(words_of().format(on=words.day(days[0][1])))
        else:
            each_day = gettext("{yard} {on}")
            said = [
                each_day.format(yard=bidi.isolated(name), on=words.day(on)) for name, on in days
            ]
            told.append(words_of().format(on="; ".join(said)))
    return told


_SINCE: Mapping[str, Callable[[], str]] = {
    visit.ASKED: lambda: gettext("Changes since {on}, as asked."),
    visit.LAST_VISIT: lambda: gettext("Changes since the last visit: {on}."),
    visit.NO_VISIT: lambda: gettext("No visit on record before today, changes since {on}."),
}
