"""The main job: a reading goes in; score, place, standing and alerts come out, in one transaction.

validate -> insert the immutable assessment -> step the standing -> find risks -> open, renew or
clear alerts -> write notices -> set what falls due -> one ledger entry. The edge commits, and only
then answers.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import datetime
from decimal import Decimal
from typing import Any
from uuid import UUID

from scoring.access import readings
from scoring.actions import asking, hands, judging, standing, subjects, unchanged, weighings
from scoring.models import Assessment, Assessor, Instrument, Standing, Weighing
from scoring.queries import assessments as queries
from scoring.queries import band_days, evidence, targets
from scoring.rules import band as bands
from scoring.rules import clocks, scale, suggestion, weight_last
from scoring.rules import reading as rule
from scoring.rules import weighing as weighing_rule
from yards import audit
from yards.access import doors
from yards.actions import once
from yards.models import Horse, Yard
from yards.rules import daytime, plain
from yards.rules.roles import Verb, Viewer

RECORDED, CORRECTED = queries.RECORDED
HUNDREDTH = Decimal("0.01")  # as the columns hold a band


def record_assessment(
    viewer: Viewer, raw: object, *, now: datetime, asks: bool = False
) -> queries.AssessmentAnswer:
    """Record one assessment and answer what it comes to; the same again is a replay.

    ``asks``: a weight far from the last is asked about instead of recorded (``asking``).

    Raises NotAllowed, Invalid naming every field at fault, or Conflict for the same id with other
    content. Nothing is written then.
    """
    doors.require(viewer, Verb.RECORD_READINGS)
    return _recorded(viewer, raw, now=now, old=None, asks=asks)


def correct_assessment(
    viewer: Viewer, ref: UUID, raw: object, *, now: datetime
) -> queries.AssessmentAnswer:
    """Record the whole new content of an assessment, with a reason; the old stays, superseded.

    A weight of the old one stands unless the correction brings its own, which supersedes it.
    Raises NotFound, NotAllowed, Invalid, or Conflict when it is not the newest of its chain.
    """
    old = readings.assessment_for_read(viewer, ref)
    doors.require(viewer, Verb.CORRECT_READINGS)
    return _recorded(viewer, raw, now=now, old=old)


@dataclass(frozen=True, slots=True)
class _Checked:
    """A reading that can be, with what it names and what its replay must match."""

    reading: rule.Reading
    instruments: dict[UUID, Instrument]
    content: dict[str, Any]
    digest: bytes


@dataclass(frozen=True, slots=True)
class _Where:
    """The horse; its standing, locked; the yard at the time of taking; orders since; the hand.

    The standing is of the horse that this one turned out to be, if it did. A correction changes
    nothing about whose hand was on the horse; who corrected is ``recorded_by``.
    """

    horse: Horse
    held: Standing
    yard: Yard
    through: targets.Through
    hand: Assessor


def _recorded(
    viewer: Viewer, raw: object, *, now: datetime, old: Assessment | None, asks: bool = False
) -> queries.AssessmentAnswer:
    sent = raw.get("id") if isinstance(raw, dict) else None
    # Locked before it is asked for: the same sent at once waits here, and is then a replay.
    standings = subjects.lock_named(viewer, raw)
    first = subjects.first_of(Assessment, viewer, sent)
    horses = subjects.horses_named(viewer, raw, first)
    if first is not None:
        known = subjects.known(first.weighing, is_replay=True)
        checked = _check(raw, horses, old, first.received_at, judge=subjects.timeless, known=known)
        return _replayed(viewer, first, checked.digest)
    known = subjects.known(old.weighing if old is not None else None)
    checked = _check(raw, horses, old, now, known=known)
    horse = horses[checked.reading.horse]
    held = subjects.held_of(standings, horse)
    subjects.require_newest(old, horse)
    unchanged.require_change(old, checked.reading)
    at = checked.reading.corrected_at
    if asks:
        weight_sent = checked.reading.weight
        asking.require_near(weight_last.WITH_A_SCORE, weight_sent, at, held=held, horse=horse)
    through = targets.between(held.horse_id, at, now)
    hand = old.assessor if old is not None else hands.hand_of(viewer, now=now)
    where = _Where(horse, held, subjects.yard_at(horse, at), through, hand)
    weight = _weight(viewer, checked, where, old=old, now=now)
    row, is_new = subjects.inserted(_row(viewer, checked, where, weight=weight, old=old, now=now))
    if not is_new:
        return _replayed(viewer, row, checked.digest)
    orders = through.looking_back(now)
    newest = _stand(viewer, held, row, orders, now=now)
    alerts = judging.judge(viewer, held, now=now, newest=newest, orders=orders, assessment=row)
    receipt = audit.record(
        viewer,
        verb=RECORDED if old is None else CORRECTED,
        target=("assessment", row.ref),
        payload=plain.plain(checked.content),
        at=now,
    )
    if old is not None:
        return queries.just_recorded(row.id)
    return queries.first_answer(row, receipt, set_off_alerts=bool(alerts))


def _check(
    raw: object,
    horses: dict[UUID, Horse],
    old: Assessment | None,
    now: datetime,
    *,
    judge: Callable[[Horse], clocks.Subject] = subjects.subject,
    known: weighing_rule.Known = weighing_rule.NOTHING_KNOWN,
) -> _Checked:
    instruments = subjects.instruments_named(raw)
    reading = rule.check(
        raw,
        now=now,
        subjects={ref: judge(horse) for ref, horse in horses.items()},
        instruments={ref: each.kind for ref, each in instruments.items()},
        correcting=old is not None,
        known=known,
    )
    content = {**reading.content(), "supersedes": old.ref if old is not None else None}
    return _Checked(reading, instruments, content, once.digest(content))


def _replayed(viewer: Viewer, row: Assessment, digest: bytes) -> queries.AssessmentAnswer:
    same = subjects.same_or_conflict(viewer, row, digest)
    return replace(queries.just_recorded(same.id), replayed=True)


def _weight(
    viewer: Viewer,
    checked: _Checked,
    where: _Where,
    *,
    old: Assessment | None,
    now: datetime,
) -> Weighing | None:
    """Insert the weight that came with the reading as a weighing of its own."""
    reading, earlier = checked.reading, old.weighing if old is not None else None
    if reading.weight is None:
        return earlier
    if earlier is not None:
        earlier = subjects.newest_of(earlier)
    weighing = weighing_rule.Weighing(
        id=None,
        horse=reading.horse,
        taken_at=reading.taken_at,
        sent_at=reading.sent_at,
        corrected_at=reading.corrected_at,
        skew_seconds=reading.skew_seconds,
        weight=reading.weight,
        reason=reading.reason if earlier is not None else "",
    )
    row, _ = weighings.insert(
        viewer,
        where.horse,
        where.yard,
        weighing,
        hand=earlier.assessor if earlier is not None else where.hand,
        instruments=checked.instruments,
        digest=once.digest(weighing.content()),
        old=earlier,
        now=now,
    )
    return row


def _row(
    viewer: Viewer,
    checked: _Checked,
    where: _Where,
    *,
    weight: Weighing | None,
    old: Assessment | None,
    now: datetime,
) -> Assessment:
    reading = checked.reading
    return Assessment(
        organisation=where.horse.organisation,
        ref=once.new_ref(reading.id),
        horse=where.horse,
        yard=where.yard,
        assessor=where.hand,
        recorded_by_id=doors.person_of(viewer),
        token_ref=viewer.token,
        received_at=now,
        content_digest=checked.digest,
        findings=dict(reading.findings),
        suggestion=_suggested(reading, where.horse.sex),
        danger_signs=list(reading.danger_signs),
        weighing=weight,
        supersedes=old,
        **{name: getattr(reading, name) for name in _AS_READ},
        **_band(where, reading, now),
    )


def _suggested(reading: rule.Reading, sex: str) -> dict[str, Any]:
    """Return what the findings suggest, by the tables of today; a replay keeps the first.

    It follows from the findings and the sex on record, so it is no part of what a replay must
    match.
    """
    suggested = suggestion.suggest(
        reading.scale,
        reading.findings,
        felt=reading.manner == rule.PALPATED,
        pocket=reading.fat_pocket,
        sex=sex,
    )
    return suggestion.as_json(suggested)


_AS_READ = (
    "taken_at",
    "sent_at",
    "corrected_at",
    "scale",
    "scale_version",
    "manner",
    "neck",
    "back",
    "hind",
    "whole",
    "fat_pocket",
    "by_eye",
    "crest",
    "looked_for_danger",
    "appetite",
    "muscle",
    "coat",
    "rug_off",
    "held_by",
    "limits",
    "note",
    "reason",
)


def _band(where: _Where, reading: rule.Reading, now: datetime) -> dict[str, Any]:
    """Return the band on the day of the reading, and the place in it if there is an overall.

    One that comes on a later day is asked what held on its own: it may be kept for another use now.
    """
    horse, at, band = where.held.horse, reading.corrected_at, None
    if daytime.local_date(at, where.yard.time_zone) < daytime.local_date(now, where.yard.time_zone):
        band = band_days.gone_by(horse, where.through, at, reading.scale, now)
    if band is None:
        orders = where.through.looking_back(at)
        band = targets.band_of(horse, where.yard, at, orders=orders, scale=reading.scale)
    halves = scale.nearest_halves(reading.sixths)
    return {
        "band_low": band.low.quantize(HUNDREDTH),
        "band_aim": band.aim.quantize(HUNDREDTH),
        "band_high": band.high.quantize(HUNDREDTH),
        "place": bands.place(halves, band) if halves is not None else "",
    }


def _stand(
    viewer: Viewer, held: Standing, row: Assessment, orders: targets.Orders, *, now: datetime
) -> evidence.Newest:
    if row.supersedes is not None:
        return standing.rebuild(viewer, held, now)
    standing.step_score(held, row, orders)
    if row.weighing is not None:
        standing.step_weight(held, row.weighing, orders)
    return standing.settle(viewer, held, now, orders=orders)
