"""The herd's views as templates show them: the strip, ends of seasons, shares, punctuality."""

from collections.abc import Mapping, Sequence
from typing import Any

from django.utils import text
from django.utils.formats import number_format
from django.utils.http import urlencode
from django.utils.translation import gettext, ngettext

from scoring.pages import choices, herd_drawn, herd_told, herd_words, labels
from scoring.queries import season_words
from scoring.queries.herd_ends import Tally
from scoring.queries.herd_met import Met, Punctuality
from scoring.queries.herd_months import Row, Strip
from scoring.queries.herd_scope import Scope
from scoring.rules import (
    herd_due,
    herd_months,
    herd_place,
    herd_season,
    herd_share,
    herd_step,
    scale,
)
from scoring.rules.herd_months import Month
from yards.pages.tables import Cell, Table
from yards.pages.tables import Row as Line
from yards.queries.yards import YardCard

_A, _W, _B = herd_place.ABOVE, herd_place.WITHIN, herd_place.BELOW


def strip(found: Scope, told: Strip) -> dict[str, Any]:
    """Return the rows of a page of the strip, its columns, and the way on."""
    following = ""
    if told.has_next:
        pairs = (*found.wanted.pairs(), ("after", str(told.rows[-1].horse)))
        following = "?" + urlencode(pairs)
    return {
        "months": [
            {
                "name": herd_words.month_name(each),
                "letter": herd_words.month_name(each)[:1],
                "full": herd_words.month(each),
                "year": each.year if herd_months.shows_year(found.months, number) else "",
            }
            for number, each in enumerate(found.months)
        ],
        "rows": [_row(each, found) for each in told.rows],
        "paths": herd_drawn.cells(),
        "groups": [
            herd_words.counted(group, told.counts[group])
            for group in herd_place.GROUPS
            if told.counts.get(group)
        ],
        "total": told.total,
        "next": following,
        "first": "?" + urlencode(found.wanted.pairs()) if found.wanted.after else "",
        "restarted": told.restarted,
        "many": len(found.months) > len(_MANY),
    }


_MANY = range(12)


def _row(row: Row, found: Scope) -> dict[str, Any]:
    return {
        "horse": row.horse,
        "name": row.name,
        "yard_name": row.yard_name if found.chosen is None else "",
        "use": labels.kept_for(row),
        "short": herd_words.lately(row.group, row.months),
        "cells": [{"letter": letter, "said": herd_words.letter(letter)} for letter in row.letters],
    }


def percent(count: int, known: int) -> Cell:
    """Return a count with its share and interval; of few, the count out of how many."""
    share = herd_share.share(count, known)
    if share is None:
        told = gettext("{count} of {known}").format(count=count, known=known) if known else "–"
        return Cell(told)
    value, low, high = (round(100 * each) for each in share)
    beside = gettext("{value}% ({low} to {high}%)").format(value=value, low=low, high=high)
    return Cell(number_format(count, use_l10n=True), beside)


def shares(months: Sequence[Month], counts: Sequence[Mapping[str, int]]) -> dict[str, Any]:
    """Return shares by month as drawings and as a table."""
    known = [sum(each[letter] for letter in herd_place.PLACES) for each in counts]
    unknown = [sum(each[letter] for letter in herd_place.UNKNOWN) for each in counts]
    rows = [
        herd_drawn.Row(
            title, letter, [(each[letter], n) for each, n in zip(counts, known, strict=True)]
        )
        for letter, title in (
            (_A, gettext("Above its own band")),
            (_W, gettext("Within its own band")),
            (_B, gettext("Below its own band")),
        )
    ]
    totals = list(zip(known, unknown, strict=True))
    said = gettext(
        "Share of the horses felt in each month that were above, within and below their own band, "
        "each with its 80% interval, and how many were felt and not. The table below holds every "
        "value."
    )
    return {
        "drawings": herd_drawn.shares(months, rows, totals, said),
        "table": _shares_table(months, counts, known),
        "empty": not any(known),
    }


def _shares_table(
    months: Sequence[Month], counts: Sequence[Mapping[str, int]], known: Sequence[int]
) -> Table:
    rows = []
    for month, each, many in reversed(list(zip(months, counts, known, strict=True))):
        unknown = {letter: each[letter] for letter in herd_place.UNKNOWN}
        why = [f"{herd_words.letter(letter)} {count}" for letter, count in unknown.items() if count]
        rows.append(
            Line(
                (
                    Cell(herd_words.month(month)),
                    Cell(str(many + sum(unknown.values()))),
                    *(percent(each[letter], many) for letter in (_B, _W, _A)),
                    Cell(str(sum(unknown.values())), ", ".join(why)),
                )
            )
        )
    return Table(
        caption=gettext("Shares by month, the newest first"),
        columns=(
            gettext("Month"),
            gettext("Horses here"),
            gettext("Below"),
            gettext("Within"),
            gettext("Above"),
            gettext("Not known"),
        ),
        rows=rows,
        empty=gettext("No horses stood here in these months"),
    )


def ends(tallies: Sequence[Tally]) -> list[dict[str, Any]]:
    """Return each end of a season with a drawing and a table for each scale.

    Yards of another spring stand by themselves, since it is another day there.
    """
    alike: dict[tuple[YardCard, ...], dict[tuple[str, str], Tally]] = {}
    for each in tallies:
        alike.setdefault(each.yards, {})[each.season, each.year] = each
    return [
        _end(season, held[season, herd_season.THIS], held[season, herd_season.LAST])
        | {"key": f"{season}-{yards[0].ref}"}
        | {"place": season_words.where(yards) if len(alike) > 1 else ""}
        for yards, held in alike.items()
        for season in herd_season.ENDS
    ]


def _end(season: str, this: Tally, last: Tally) -> dict[str, Any]:
    years = [last, this]
    verdict, *told = herd_told.end(this, last)
    keys = [key for key in scale.SCALES if any(key in each.steps for each in years)]
    return {
        "title": herd_words.end(season),
        "verdict": verdict,
        "told": " ".join(told),
        "years": [_year(each) for each in years],
        "scales": [_scale(season, key, this, last) for key in keys],
    }


def _year(tally: Tally) -> dict[str, Any]:
    days = [
        gettext("{day} ({yards})").format(
            day=herd_words.day(on), yards=ngettext("{n} yard", "{n} yards", many).format(n=many)
        )
        if len(tally.days) > 1
        else herd_words.day(on)
        for on, many in tally.days.items()
    ]
    return {
        "said": herd_words.year(tally.year),
        "sign": tally.year,
        "days": ", ".join(days),
        "known": tally.known,
        "unknown": tally.unknown,
        "open": herd_words.day(tally.open_until) if tally.open_until else "",
    }


def _scale(season: str, key: str, this: Tally, last: Tally) -> dict[str, Any]:
    counts = [herd_step.binned(each.steps.get(key, {})) for each in (last, this)]
    bins = sorted({*counts[0], *counts[1]}, reverse=True)
    said = gettext(
        "How many horses stood how many half points from their own band, {scale}: the year before "
        "striped, the latest solid. The table holds every value."
    ).format(scale=choices.short_scale(key))
    columns = [
        gettext("From its own band"),
        *(f"{herd_words.year(each.year)}, {_only_day(each)}" for each in (last, this)),
    ]
    rows = [
        Line(
            (
                Cell(herd_drawn.step_words(step)),
                *(Cell(str(held.get(step, 0))) for held in counts),
            )
        )
        for step in bins
    ]
    title = choices.short_scale(key)
    return {
        "title": title,
        "drawing": herd_drawn.steps(counts[1], counts[0], said),
        "table": Table(f"{herd_words.end(season)}, {title}", columns, rows, ""),
    }


def _only_day(tally: Tally) -> str:
    return herd_words.day(next(iter(tally.days))) if len(tally.days) == 1 else gettext("by yard")


def met(told: Punctuality) -> dict[str, Any]:
    """Return how looks were met, as drawings and as two tables."""
    months = [month for month, _ in told.months]
    rows = [
        herd_drawn.Row(
            title,
            _W,
            [(sum(each.counts[name] for name in names), each.due) for _, each in told.months],
        )
        for title, names in (
            (gettext("By the due day"), (herd_due.BY_DUE,)),
            (gettext("By the due day or within a week"), (herd_due.BY_DUE, herd_due.IN_A_WEEK)),
        )
    ]
    totals = [(each.due, each.counts[herd_due.OPEN]) for _, each in told.months]
    said = gettext(
        "Share of the looks that fell due in each month which were made by their due day, and by a "
        "week after, each with its 80% interval, and how many fell due. The table below holds "
        "every value."
    )
    newest = list(reversed(told.months))
    return {
        "told": herd_told.met(told),
        "drawings": herd_drawn.shares(months, rows, totals, said),
        "months": _met_table(
            gettext("Looks by the month they fell due, the newest first"),
            gettext("Month"),
            [(herd_words.month(month), each) for month, each in newest],
        ),
        "yards": _met_table(
            gettext("Looks by yard, over all these months"), gettext("Yard"), told.yards
        ),
        "empty": not told.whole.due,
    }


def _met_table(caption: str, first: str, rows: Sequence[tuple[str, Met]]) -> Table:
    names = herd_due.MET[:-1]
    return Table(
        caption=caption,
        columns=(
            first,
            gettext("Fell due"),
            *(text.capfirst(herd_words.met(name)) for name in names),
            gettext("Still open"),
        ),
        rows=[
            Line(
                (
                    Cell(name),
                    Cell(str(each.due)),
                    *(percent(each.counts[one], each.due) for one in names),
                    Cell(str(each.counts[herd_due.OPEN])),
                )
            )
            for name, each in rows
        ],
        empty=gettext("No look fell due in these months"),
    )
