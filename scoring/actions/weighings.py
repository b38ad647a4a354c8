"""Weighings: recorded once, corrected by another, never edited."""

from dataclasses import replace
from datetime import datetime
from decimal import Decimal
from uuid import UUID

from scoring.access import readings
from scoring.actions import asking, hands, judging, standing, subjects, unchanged
from scoring.models import Assessor, Instrument, Weighing
from scoring.queries import habits, targets
from scoring.queries import weighings as queries
from scoring.rules import weighing as rule
from yards import audit
from yards.access import doors
from yards.actions import once
from yards.models import Horse, Yard
from yards.rules import plain
from yards.rules.roles import Verb, Viewer

RECORDED, CORRECTED = "weighing.recorded", "weighing.corrected"
TENTH = Decimal("0.1")  # as the column holds it


def record_weighing(
    viewer: Viewer, raw: object, *, now: datetime, asks: bool = False
) -> queries.WeighingAnswer:
    """Record one weighing and answer it; the same again is a replay.

    ``asks``: a weight far from the last is asked about instead of recorded (``asking``).

    Raises NotAllowed, Invalid naming every field at fault, or Conflict.
    """
    doors.require(viewer, Verb.RECORD_READINGS)
    return _recorded(viewer, raw, now=now, old=None, asks=asks)


def correct_weighing(
    viewer: Viewer, ref: UUID, raw: object, *, now: datetime
) -> queries.WeighingAnswer:
    """Record the whole new content of a weighing, with a reason; the old one stays, superseded.

    Raises NotFound, NotAllowed, Invalid, or Conflict when it is not the newest of its chain.
    """
    old = readings.weighing_for_read(viewer, ref)
    doors.require(viewer, Verb.CORRECT_READINGS)
    return _recorded(viewer, raw, now=now, old=old)


def _recorded(
    viewer: Viewer, raw: object, *, now: datetime, old: Weighing | None, asks: bool = False
) -> queries.WeighingAnswer:
    sent = raw.get("id") if isinstance(raw, dict) else None
    # Locked before it is asked for: the same sent at once waits here, and is then a replay.
    standings = subjects.lock_named(viewer, raw)
    first = subjects.first_of(Weighing, viewer, sent)
    horses = subjects.horses_named(viewer, raw, first)
    instruments = subjects.instruments_named(raw)
    judge = subjects.subject if first is None else subjects.timeless
    checked = rule.check(
        raw,
        now=now if first is None else first.received_at,
        subjects={ref: judge(horse) for ref, horse in horses.items()},
        instruments={ref: each.kind for ref, each in instruments.items()},
        correcting=old is not None,
        known=subjects.known(first or old, is_replay=first is not None),
    )
    content = {**checked.content(), "supersedes": old.ref if old is not None else None}
    digest = once.digest(content)
    if first is not None:
        same = subjects.same_or_conflict(viewer, first, digest)
        return replace(queries.just_recorded(same.id), replayed=True)
    horse = horses[checked.horse]
    held = subjects.held_of(standings, horse)
    subjects.require_newest(old, horse)
    unchanged.require_change_of_weight(old, checked)
    if asks:
        at = checked.corrected_at
        asking.require_near("weight_kg", checked.weight, at, held=held, horse=horse)
    row, is_new = insert(
        viewer,
        horse,
        subjects.yard_at(horse, checked.corrected_at),
        checked,
        # Whoever puts a weight right did not take it: that is ``recorded_by``.
        hand=old.assessor if old is not None else hands.hand_of(viewer, now=now),
        instruments=instruments,
        digest=digest,
        old=old,
        now=now,
    )
    if not is_new:
        same = subjects.same_or_conflict(viewer, row, digest)
        return replace(queries.just_recorded(same.id), replayed=True)
    [orders] = targets.orders_at(held.horse_id, now)
    if old is None:
        standing.step_weight(held, row, orders)
        newest = standing.settle(viewer, held, now, orders=orders)
    else:
        newest = standing.rebuild(viewer, held, now)
    judging.judge(viewer, held, now=now, newest=newest, orders=orders)
    receipt = audit.record(
        viewer,
        verb=RECORDED if old is None else CORRECTED,
        target=("weighing", row.ref),
        payload=plain.plain(content),
        at=now,
    )
    return queries.first_answer(row, receipt)


def insert(
    viewer: Viewer,
    horse: Horse,
    yard: Yard,
    checked: rule.Weighing,
    *,
    hand: Assessor,
    instruments: dict[UUID, Instrument],
    digest: bytes,
    old: Weighing | None,
    now: datetime,
) -> tuple[Weighing, bool]:
    """Insert a weighing's row, or return the one that holds its id already.

    ``yard`` is where the horse stood then.
    """
    weight = checked.weight
    broken = habits.broken(horse, yard, checked, old=old)
    return subjects.inserted(
        Weighing(
            organisation_id=viewer.organisation,
            ref=once.new_ref(checked.id),
            horse=horse,
            yard=yard,
            assessor=hand,
            recorded_by_id=doors.person_of(viewer),
            token_ref=viewer.token,
            taken_at=checked.taken_at,
            sent_at=checked.sent_at,
            received_at=now,
            corrected_at=checked.corrected_at,
            content_digest=digest,
            method=weight.method,
            instrument=instruments[weight.instrument] if weight.instrument else None,
            weight_kg=weight.weight_kg.quantize(TENTH),
            formula=weight.formula,
            measures=plain.plain(weight.measures),
            fed=weight.fed,
            tape_side=weight.tape_side,
            tape_position=weight.tape_position,
            likely_error_kg=weight.likely_error_kg,
            warnings=habits.plain((*weight.warnings, *broken)),
            supersedes=old,
            reason=checked.reason,
        )
    )
