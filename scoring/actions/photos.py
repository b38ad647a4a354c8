"""Keeping photos: each once, however often a phone sends it, and nothing of it but the picture."""

from collections.abc import Mapping
from datetime import datetime
from typing import Any

from scoring.access import readings
from scoring.actions import subjects
from scoring.models import Assessment, Concern, Photo
from scoring.queries import photos as queries
from scoring.rules import photo as rule
from scoring.rules import picture
from yards import audit
from yards.access import doors
from yards.actions import once
from yards.models import Horse
from yards.rules import errors, forms, plain
from yards.rules.errors import FieldError
from yards.rules.roles import Role, Verb, Viewer


def keep_photo(viewer: Viewer, raw: Mapping[str, Any], *, now: datetime) -> queries.PhotoCard:
    """Keep a photo of an assessment, a concern or a horse; the same again is a replay.

    ``raw`` holds ``image`` as bytes. What is kept is a new picture of at most 1600 pixels without
    any metadata. Raises NotAllowed, Invalid naming every field at fault, or Conflict for an id that
    other bytes or another photo have.
    """
    doors.require(viewer, Verb.RECORD_READINGS)
    first = subjects.first_of(Photo, viewer, raw.get("id"), without=("image",))
    if first is not None:
        again = rule.check(raw, now=first.received_at)
        return _replayed(viewer, first, once.digest(again.content()))
    checked = rule.check(raw, now=now)
    horse, named = _subject(viewer, checked)
    digest = once.digest(checked.content())
    row, is_new = once.insert(
        Photo(
            organisation_id=viewer.organisation,
            ref=once.new_ref(checked.id),
            of=checked.of,
            horse=horse,
            **named,
            side=checked.side,
            taken_at=checked.taken_at,
            sent_at=checked.sent_at,
            received_at=now,
            corrected_at=checked.corrected_at,
            recorded_by_id=doors.person_of(viewer),
            token_ref=viewer.token,
            sent_sha256=bytes.fromhex(checked.sha256),
            content_digest=digest,
            **_drawn(checked.image),
        )
    )
    if not is_new:
        return _replayed(viewer, row, digest)
    receipt = audit.record(
        viewer,
        verb=queries.KEPT,
        target=("photo", row.ref),
        payload=plain.plain({**checked.content(), "horse": horse.ref}),
        at=now,
    )
    return queries.card_of(row, receipt)


def _subject(viewer: Viewer, checked: rule.Photo) -> tuple[Horse, dict[str, Any]]:
    """Return the horse that a photo shows, and the reading that it is of, or raise Invalid.

    What a person recorded takes its photos though the horse has left that person's scope since: a
    phone sends photos last, and what was asked to be kept is not lost to a move.
    """
    ref = checked.of_id
    if checked.of == rule.HORSE:
        horse = doors.horses_in_scope(viewer).filter(ref=ref).first()
        if horse is not None:
            return horse, {}
    else:
        reading = _reading(viewer, checked)
        if reading is not None:
            return reading.horse, {checked.of: reading}
    raise errors.Invalid(FieldError("of_id", "unknown_reference"))


def _reading(viewer: Viewer, checked: rule.Photo) -> Assessment | Concern | None:
    ref = checked.of_id
    # What a device recorded is in its scope already, and it knows of nothing else.
    is_hand = viewer.role is not Role.DEVICE
    if checked.of == rule.ASSESSMENT:
        scored = readings.assessments_in_scope(viewer).select_related("horse")
        felt = scored.filter(ref=ref).first()
        return subjects.first_of(Assessment, viewer, ref) if felt is None and is_hand else felt
    noted = readings.concerns_in_scope(viewer).select_related("horse")
    seen = noted.filter(ref=ref).first()
    return subjects.first_of(Concern, viewer, ref) if seen is None and is_hand else seen


def _drawn(sent: bytes) -> dict[str, Any]:
    try:
        made = picture.drawn_anew(sent)
    except forms.Unfit as unfit:
        raise errors.Invalid(FieldError("image", unfit.key, unfit.params)) from unfit
    return {"image": made.jpeg, "width": made.width, "height": made.height}


def _replayed(viewer: Viewer, row: Photo, digest: bytes) -> queries.PhotoCard:
    same = subjects.same_or_conflict(viewer, row, digest)
    receipt = audit.receipt_for(viewer, verb=queries.KEPT, target_ref=same.ref)
    return queries.card_of(same, receipt, replayed=True)
