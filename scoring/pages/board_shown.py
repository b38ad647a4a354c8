"""The board's groups and rows as the templates show them."""

from collections.abc import Callable, Sequence
from typing import Any

from django.utils.formats import date_format
from django.utils.translation import gettext, ngettext

from scoring.pages import labels
from scoring.queries import board as queries
from scoring.queries import board_rows, season_words, wording


def title(group: str) -> str:
    """Return what a group of work is called."""
    return _TITLES[group]()


def hint(group: str, count: int) -> str:
    """Return what is to be done about a group's horses, counted over all pages."""
    return _HINTS[group](count).format(n=count)


_TITLES: dict[str, Callable[[], str]] = {
    "call_the_vet": lambda: gettext("Call the vet"),
    "decide": lambda: gettext("Decide"),
    "assess_today": lambda: gettext("Assess today"),
    "watched": lambda: gettext("On a care plan or being watched"),
    "nothing_to_do": lambda: gettext("Nothing to do today"),
}
_HINTS: dict[str, Callable[[int], str]] = {
    "call_the_vet": lambda n: ngettext(
        "{n} horse. Vet first, today. Change no feed before the vet has spoken.",
        "{n} horses. Vet first, today. Change no feed before the vet has spoken.",
        n,
    ),
    "decide": lambda n: ngettext(
        "{n} horse with an alert that nobody has acknowledged, or a next step whose time passed.",
        "{n} horses with an alert that nobody has acknowledged, or a next step whose time passed.",
        n,
    ),
    "assess_today": lambda n: ngettext(
        "{n} horse due or overdue.", "{n} horses due or overdue.", n
    ),
    "watched": lambda n: ngettext(
        "{n} horse with an alert that is answered or can wait.",
        "{n} horses with an alert that is answered or can wait.",
        n,
    ),
    "nothing_to_do": lambda n: ngettext("{n} horse not due.", "{n} horses not due.", n),
}


def groups(found: queries.Board) -> list[dict[str, Any]]:
    """Return the groups that the page holds rows of, in the order of work."""
    made = []
    for key in queries.GROUPS:
        held = [row for row in found.rows if row.group == key]
        if held:
            count = found.counts[key]
            said = {"key": key, "title": title(key), "hint": hint(key, count), "count": count}
            made.append({**said, "left": max(0, count - len(held)), **_with_vet(held)})
    return made


def _with_vet(held: Sequence[board_rows.Row]) -> dict[str, Any]:
    """Return a group's rows; numbers that all of them share are shown once, at its head."""
    vets = {row.vet for row in held}
    shared = held[0].vet if len(vets) == 1 else None
    rows = [_row(row) | ({"vet": None} if shared else {}) for row in held]
    return {"vet": shared, "rows": rows}


def _row(row: board_rows.Row) -> dict[str, Any]:
    return {
        "horse_id": row.horse_id,
        "name": row.name,
        "yard_name": row.yard_name,
        "use_label": labels.kept_for(row),
        "species": row.species,
        "scale": row.scale,
        "regions": row.regions or {},
        "fattest": list(row.fattest),
        "overall": row.overall,
        "level": labels.decimal(row.level),
        "low": labels.decimal(row.low),
        "high": labels.decimal(row.high),
        "place": row.place,
        "place_label": _place(row),
        "rate_per_month": labels.decimal(row.rate_per_month),
        "rate_is_level": row.rate_is_level,
        "rate_label": wording.say(row.rate_lacks)
        if row.rate_lacks
        else labels.rate(row.rate_per_month, row.rate_is_level),
        "due": {
            "state": row.due.state,
            "label": labels.due(row.due.state, row.due.on, row.due.days, row.due.what),
            "fraction": row.due.fraction,
            "at": row.due.on,
        },
        "alert": _alert(row),
        "passed": _passed(row),
        "vet": row.vet,
        "band": row.band,
        "line": row.line,
        "may_assess": row.may_assess,
        "mark": row.mark,
    }


def _place(row: board_rows.Row) -> str:
    if row.place:
        return labels.placed(row.place, row.overall, row.band)
    missing = row.regions is not None and None in row.regions.values()
    return gettext("Not safe to palpate, no overall") if missing else labels.place("")


def _passed(row: board_rows.Row) -> str:
    if row.passed_on is None:
        return ""
    on = date_format(row.passed_on, "j M")
    return gettext("Next step was due by {on}: decide").format(on=on)


def _alert(row: board_rows.Row) -> dict[str, Any] | None:
    alert = row.alert
    if alert is None:
        return None
    return {
        "id": alert.id,
        "severity": alert.severity,
        "state": alert.state,
        "escalated": alert.escalated,
        "passed": alert.passed,
        "label": _alert_label(alert, row.more_alerts),
    }


def _alert_label(alert: board_rows.BoardAlert, more: int) -> str:
    said = wording.title(alert.rule).capitalize()
    if alert.spring is not None:
        # Where spring is by the yard's own days or in the other half of the world, the word alone
        # reads like a mistake.
        first, last = (season_words.day(each) for each in (alert.spring.first, alert.spring.last))
        said = gettext("{title} (spring here: {first} to {last})").format(
            title=said, first=first, last=last
        )
    if not more:
        return said
    return ngettext("{title}, and {n} more", "{title}, and {n} more", more).format(
        title=said, n=more
    )
