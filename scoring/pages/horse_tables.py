"""A horse's readings, weights, concerns, events and stays as tables."""

from collections.abc import Sequence
from decimal import Decimal

from django.urls import reverse
from django.utils.translation import gettext

from scoring.pages import choices, labels, noted, pictures, summed
from scoring.queries import wording
from scoring.queries.assessments import AssessmentAnswer
from scoring.queries.concerns import ConcernAnswer
from scoring.queries.weighings import WeighingAnswer
from scoring.rules import scale, score_sheet
from yards.pages import words
from yards.pages.tables import Cell, Link, Row, Table
from yards.queries import tastes
from yards.queries.events import EventRow
from yards.queries.horses import StayRow
from yards.rules import bidi

_NONE = "–"


def readings(
    found: Sequence[AssessmentAnswer],
    *,
    may_correct: bool,
    older: str = "",
    photos: pictures.Of | None = None,
) -> Table:
    """Return scores, each with its regions, who felt, the place it had on its day, its photos."""
    shots = photos or {}
    return Table(
        caption=gettext("Condition scores"),
        columns=(
            gettext("When"),
            gettext("Overall"),
            gettext("Neck, back, hindquarters"),
            gettext("Place on that day"),
            gettext("Noted"),
            gettext("Assessor"),
        ),
        rows=[_reading(each, may_correct, shots.get(each.id, ())) for each in found],
        empty=gettext("No scores yet"),
        empty_hint=gettext("The first score starts the trend; three over two weeks make one."),
        older=older,
    )


def _reading(found: AssessmentAnswer, may_correct: bool, photos: pictures.Pictures) -> Row:
    over = found.superseded_by is not None
    links = []
    if may_correct and not over:
        page = reverse("scoring:correct", args=[found.id])
        links.append(Link(page, gettext("Correct"), _when(found)))
    return Row(
        (
            Cell(
                _when(found),
                _beside(found),
                reverse("scoring:scored", args=[found.id]),
                pictures=photos,
            ),
            Cell(*summed.in_brief(found)),
            Cell(_regions(found), _fattest(found)),
            Cell(labels.place(found.place) if found.place else _NONE),
            _noted(found),
            Cell(found.assessor.name, found.held_by and _held(found.held_by)),
        ),
        links,
        struck=over,
    )


def _noted(found: AssessmentAnswer) -> Cell:
    note, beside = noted.in_brief(found)
    return Cell(note, beside) if note or not beside else Cell(beside)


def by_time(found: Sequence[AssessmentAnswer]) -> list[AssessmentAnswer]:
    """Return scores as they were taken, the newest first."""
    return sorted(found, key=lambda each: each.corrected_taken_at, reverse=True)


def last_note(found: Sequence[AssessmentAnswer]) -> tuple[str, str] | None:
    """Return what was noted with the last score that counts, and when by whom; newest first."""
    last = next((each for each in found if each.superseded_by is None), None)
    if last is None or not last.note:
        return None
    return last.note, f"{_when(last)}, {bidi.isolated(last.assessor.name)}"


def _held(name: str) -> str:
    if name == score_sheet.HELD_BY_SOMEBODY:
        return gettext("held by somebody")
    if name == score_sheet.HELD_BY_NOBODY:
        return gettext("held by nobody")
    return gettext("held by {name}").format(name=name)


def _when(found: AssessmentAnswer) -> str:
    return words.at(found.corrected_taken_at, found.time_zone)


def _beside(found: AssessmentAnswer) -> str:
    seen = gettext("Seen only, not in the trend") if found.manner == "visual" else ""
    return _put_right(found) or seen


def _put_right(found: AssessmentAnswer | WeighingAnswer) -> str:
    """Say of a reading that it was corrected, or by whom it corrects another; else nothing."""
    if found.superseded_by is not None:
        return gettext("Corrected: no longer counts")
    if found.supersedes is not None:
        return labels.correction(found.recorded_by_name, found.reason)
    return ""


def _half(value: Decimal | None) -> str:
    return gettext("not safe") if value is None else labels.written(int(value * 2))


def _regions(found: AssessmentAnswer) -> str:
    if found.regions is None:
        return _NONE
    return ", ".join(_half(found.regions.get(name)) for name in scale.REGIONS)


def _fattest(found: AssessmentAnswer) -> str:
    said = []
    if found.fat_pocket in ("slight", "marked"):
        said.append(gettext("fat pocket"))
    if len(found.fattest_regions) == 1:
        region = wording.region(found.fattest_regions[0])
        said.append(gettext("fattest: {region}").format(region=region))
    if found.crest is not None:
        said.append(gettext("crest {half}").format(half=_half(found.crest)))
    return "; ".join(said)


def weights(found: Sequence[WeighingAnswer], *, may_correct: bool, older: str = "") -> Table:
    """Return weights in the reader's unit, each with how it was come by."""
    return Table(
        caption=gettext("Weights"),
        columns=(gettext("When"), gettext("Weight"), gettext("How"), gettext("Assessor")),
        rows=[_weight(each, may_correct) for each in found],
        empty=gettext("No weights yet"),
        empty_hint=gettext("Weight moves before the score does. Use the same tape and hour."),
        older=older,
    )


def _weight(found: WeighingAnswer, may_correct: bool) -> Row:
    over = found.superseded_by is not None
    when = words.at(found.corrected_taken_at, found.time_zone)
    links = []
    if may_correct and not over:
        page = reverse("scoring:correct_weighing", args=[found.id])
        links.append(Link(page, gettext("Correct"), when))
    return Row(
        (
            Cell(when, _put_right(found), reverse("scoring:weighed", args=[found.id])),
            Cell(tastes.weight(found.weight_kg)),
            Cell(choices.method(found.method), found.instrument_label),
            Cell(found.assessor.name),
        ),
        links,
        struck=over,
    )


def concerns(found: Sequence[ConcernAnswer], photos: pictures.Of) -> Table:
    """Return what was seen without a score, with its photos."""
    return Table(
        caption=gettext("Concerns"),
        columns=(gettext("When"), gettext("What was seen"), gettext("By")),
        rows=[
            Row(
                (
                    Cell(
                        words.at(each.corrected_seen_at, each.time_zone),
                        pictures=photos.get(each.id, ()),
                    ),
                    Cell(
                        "; ".join(wording.sign(name) for name in each.danger_signs) or each.note,
                        each.note if each.danger_signs else "",
                    ),
                    Cell(each.assessor.name),
                )
            )
            for each in found
        ],
        empty=gettext("No concerns"),
        empty_hint=gettext("A danger sign can be sent with no score at all."),
    )


def events(found: Sequence[EventRow], zone: str) -> Table:
    """Return what else happened, latest first."""
    return Table(
        caption=gettext("Events"),
        columns=(gettext("When"), gettext("What happened"), gettext("Entered by")),
        rows=[
            Row(
                (
                    Cell(words.at(each.at, zone)),
                    Cell(words.event_kind(each.kind), each.note),
                    Cell(each.recorded_by.name if each.recorded_by else ""),
                )
            )
            for each in found
        ],
        empty=gettext("No events yet"),
        empty_hint=gettext("Clipping, foaling, a vet's visit: what may move a score."),
    )


def stays(found: Sequence[StayRow], zone: str) -> Table:
    """Return where the horse has stood, latest first."""
    return Table(
        caption=gettext("Where it has stood"),
        columns=(gettext("Yard"), gettext("From"), gettext("Until")),
        rows=[
            Row(
                (
                    Cell(each.yard.name),
                    Cell(words.day(each.from_at, zone)),
                    Cell(words.day(each.until_at, zone) if each.until_at else gettext("now")),
                )
            )
            for each in found
        ],
        empty=gettext("No stays"),
    )
