"""What stands on the officer's desk, as tables."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from itertools import groupby
from typing import Any

from django.urls import reverse
from django.utils.translation import gettext, ngettext

from scoring.pages import labels
from scoring.queries import wording
from scoring.queries.assessments import AssessmentAnswer
from scoring.queries.desk import OpenThen, Stood
from scoring.queries.weighings import WeighingAnswer
from scoring.rules.gaps import Gap
from yards.pages import words
from yards.pages.tables import Cell, Row, Table
from yards.queries import tastes
from yards.queries.horses import HorseCard, YardName
from yards.rules import bidi
from yards.rules.roles import Verb, Viewer, may

_NONE = "–"


def part(viewer: Viewer, zone: str) -> str:
    """Return what is said above a desk of which a part of the record, or some horses, is open."""
    said = []
    if viewer.record_from is not None:
        at = words.at(viewer.record_from, zone)
        said.append(gettext("Nothing taken before {at} is shown.").format(at=at))
    if viewer.record_until is not None:
        at = words.at(viewer.record_until, zone)
        said.append(gettext("Nothing taken from {at} on is shown.").format(at=at))
    if viewer.yards is not None:
        said.append(gettext("Only the yards and horses of your grant are shown."))
    return " ".join(said)


@dataclass(frozen=True, slots=True)
class OfYard:
    """One yard on the desk: its name, how many horses stood there, what all of them lacked."""

    name: str
    count: str
    lacked: str
    table: Table


def by_yard(viewer: Viewer, found: Sequence[Stood], zone: str, asked: str) -> list[OfYard]:
    """Return a table a yard, as many as had horses then; ``asked`` is what the desk was asked."""
    alerts = may(viewer, Verb.READ_ALERTS)
    return [
        OfYard(
            yard.name if yard is not None else gettext("Where it stood is not known"),
            counted(len(rows)) if yard is not None else _lost(len(rows)),
            _lacked(rows),
            _yard(rows, zone, asked, alerts),
        )
        for yard, rows in _grouped(found)
    ]


def _grouped(found: Sequence[Stood]) -> Iterator[tuple[YardName | None, list[Stood]]]:
    for _, rows in groupby(found, key=lambda each: each.yard.name if each.yard else None):
        same = list(rows)
        yield same[0].yard, same


def _lost(n: int) -> str:
    return ngettext(
        "{n} horse may have stood here: what was changed later was erased.",
        "{n} horses may have stood here: what was changed later was erased.",
        n,
    ).format(n=n)


def counted(n: int) -> str:
    """Say how many horses stood somewhere."""
    return ngettext("{n} horse stood here.", "{n} horses stood here.", n).format(n=n)


def total(n: int) -> str:
    """Say how many horses stood in all yards together."""
    return ngettext("{n} horse in all.", "{n} horses in all.", n).format(n=n)


def _identity(card: HorseCard) -> str:
    return ", ".join(part for part in (card.transponder, card.ueln) if part)


def _lacks(each: Stood) -> bool:
    """Return whether it had no transponder and no number; not known is not none."""
    return not _identity(each.card) and not each.unknown & {"transponder", "ueln"}


def _is_said_once(rows: Sequence[Stood]) -> bool:
    """Return whether most had no transponder: then it is said above, and no row repeats it."""
    return sum(_lacks(each) for each in rows) * 2 > len(rows)


def _lacked(rows: Sequence[Stood]) -> str:
    n = sum(_lacks(each) for each in rows)
    if not _is_said_once(rows):
        return ""
    if n == len(rows):
        return gettext("None had a transponder on record.")
    told = gettext("{n} had no transponder on record; of the others it stands below the name.")
    return told.format(n=n)


def _yard(rows: list[Stood], zone: str, asked: str, alerts: bool) -> Table:
    missing = "" if _is_said_once(rows) else gettext("no transponder on record")
    last = (gettext("Alerts open"),) if alerts else ()
    return Table(
        caption=bidi.isolated(rows[0].yard.name)
        if rows[0].yard is not None
        else gettext("Where it stood is not known"),
        columns=(
            *(
                gettext("Horse"),
                gettext("Here since"),
                gettext("Last score known"),
                gettext("Band"),
            ),
            *(gettext("Last weight known"), gettext("Corrections, gaps"), *last),
        ),
        rows=[_horse(each, zone, asked, missing, alerts) for each in rows],
        empty="",
    )


def _horse(each: Stood, zone: str, asked: str, missing: str, alerts: bool) -> Row:
    page = reverse("scoring:desk_horse", args=[each.card.ref]) + asked
    holes = [
        ngettext("{n} correction", "{n} corrections", each.corrected).format(n=each.corrected)
        if each.corrected
        else "",
        _gap(each.gap) if each.gap is not None else "",
    ]
    if not _lacks(each):
        missing = gettext("transponder not known")
    low, high = each.low, each.high
    band = "" if low is None or high is None else labels.between(low, high)
    return Row(
        (
            Cell(called(each.card, each.unknown), _identity(each.card) or missing, page),
            Cell(words.day(each.since, zone) if each.since is not None else gettext("not known")),
            Cell(each.score or gettext("none"), _at(each.scored_at, zone)),
            Cell(band or _NONE),
            Cell(
                tastes.weight(each.weight_kg) if each.weight_kg is not None else gettext("none"),
                _at(each.weighed_at, zone),
            ),
            Cell(", ".join(hole for hole in holes if hole) or _NONE),
            *((Cell(str(each.open_alerts) if each.open_alerts else _NONE),) if alerts else ()),
        )
    )


def called(card: HorseCard, unknown: frozenset[str]) -> str:
    """Return an animal's name that day; where it is not known, today's, said to be that."""
    if "name" not in unknown:
        return card.name
    return gettext("{name} (today's name)").format(name=card.name)


def _at(at: datetime | None, zone: str) -> str:
    return words.at(at, zone) if at is not None else ""


def _gap(gap: Gap) -> str:
    return gettext("a gap of {n} days").format(n=gap.days)


def gaps(found: Sequence[Gap], zone: str) -> Table:
    """Return where nothing was scored for long."""
    return Table(
        caption=gettext("Gaps"),
        columns=(gettext("From"), gettext("Until"), gettext("Without a score")),
        rows=[
            Row(
                (
                    Cell(words.at(each.since, zone)),
                    Cell(words.at(each.until, zone)),
                    Cell(ngettext("{n} day", "{n} days", each.days).format(n=each.days)),
                )
            )
            for each in found
        ],
        empty=gettext("No gap of more than two months between scores"),
    )


def corrections(
    scored: Sequence[AssessmentAnswer], weighed: Sequence[WeighingAnswer], zone: str
) -> Table:
    """Return what was put right: as first recorded, as corrected, why, by whom and when."""
    rows = [*_corrected(scored, _score, zone), *_corrected(weighed, _weight, zone)]
    return Table(
        caption=gettext("Corrections"),
        columns=(
            *(gettext("Taken"), gettext("First recorded"), gettext("Corrected to"), gettext("Why")),
            gettext("Corrected on, by"),
        ),
        rows=rows,
        empty=gettext("Nothing had been corrected"),
    )


def _score(each: Any) -> str:
    if each.regions is None:
        return _half(each.whole)
    return ", ".join(_half(value) for value in each.regions.values())


def _half(value: Any) -> str:
    return _NONE if value is None else labels.written(int(value * 2))


def _weight(each: Any) -> str:
    return tastes.weight(each.weight_kg)


def _corrected(found: Sequence[Any], said: Any, zone: str) -> Iterator[Row]:
    by_id = {each.id: each for each in found}
    for each in sorted(found, key=lambda row: row.received_at):
        first = by_id.get(each.supersedes) if each.supersedes else None
        if first is not None:
            yield Row(
                (
                    Cell(words.at(first.corrected_taken_at, zone), first.assessor.name),
                    Cell(said(first), words.at(first.received_at, zone)),
                    Cell(said(each)),
                    Cell(each.reason),
                    Cell(words.at(each.received_at, zone), each.recorded_by_name),
                )
            )


def alerts(found: Sequence[OpenThen], zone: str) -> Table:
    """Return the alerts that were open then."""
    return Table(
        caption=gettext("Alerts open that day"),
        columns=(gettext("Alert"), gettext("Opened")),
        rows=[
            Row((Cell(wording.title(each.rule)), Cell(words.at(each.opened_at, zone))))
            for each in found
        ],
        empty=gettext("None was open"),
    )


def facts(card: HorseCard, unknown: frozenset[str]) -> list[tuple[str, str]]:
    """Return an animal's identity and facts, each with its name, gaps and the unknown said."""
    none, lost = gettext("not on record"), gettext("not known")

    def told(name: str, said: str) -> str:
        return lost if name in unknown else said

    species = told("species", words.species(card.species) if card.species else "")
    sex = told("sex", words.sex(card.sex))
    return [
        (gettext("Transponder"), told("transponder", card.transponder or none)),
        (gettext("UELN"), told("ueln", card.ueln or none)),
        (gettext("Animal"), ", ".join(dict.fromkeys(each for each in (species, sex) if each))),
        (gettext("Born"), told("born", card.born or none)),
        (gettext("Kept for"), told("use", words.use(card.use))),
        (gettext("Status"), told("status", words.status(card.status))),
        (gettext("Laminitis"), told("laminitis", words.laminitis(card.laminitis))),
        (gettext("Endocrine disease"), told("endocrine", words.endocrine(card.endocrine))),
    ]
