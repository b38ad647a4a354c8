"""The one check of an assessment, for API, batch and pages: raw input in, a frozen reading out.

Every fault is collected and named by a dotted path, ``regions.hindquarters``. What it takes to be
possible: a scale for the species, scores on the half-point grid, a score or 'not safe to palpate'
for every region, a time that is neither to come nor before birth nor after the end.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any
from uuid import UUID

from scoring.rules import clocks, danger, landmark, measured, weighing
from scoring.rules import scale as scales
from yards.rules import forms, plain
from yards.rules.fields import Reader, given

PALPATED, VISUAL = "palpated", "visual"
MANNERS = (PALPATED, VISUAL)
APPETITES = ("all", "some", "none", "unknown")
MUSCLES = ("full", "some_loss", "marked_loss")
COATS = ("summer", "winter", "changing", "clipped")
HELD_MOST, LIMITS_MOST, NOTE_MOST, REASON_MOST = 120, 500, 4000, 500


@dataclass(frozen=True, slots=True)
class Reading:
    """A checked assessment. Scores are half points; None is 'not safe to palpate' or 'not given'.

    ``neck``, ``back`` and ``hind`` are as felt, without the pocket, on ``five``; ``whole`` is the
    one score of the other scales. ``reason`` stands only in a correction.
    """

    id: UUID | None
    horse: UUID
    taken_at: datetime
    sent_at: datetime | None
    corrected_at: datetime
    skew_seconds: int | None
    scale: str
    scale_version: int
    manner: str
    neck: int | None
    back: int | None
    hind: int | None
    whole: int | None
    fat_pocket: str
    by_eye: int | None
    crest: int | None
    findings: Mapping[str, str]
    danger_signs: tuple[str, ...]
    looked_for_danger: bool
    appetite: str
    muscle: str
    coat: str
    rug_off: bool | None
    held_by: str
    limits: str
    note: str
    weight: weighing.Weight | None
    reason: str

    @property
    def felt(self) -> scales.Felt:
        """The three regions as felt."""
        return scales.Felt(self.neck, self.back, self.hind)

    @property
    def used(self) -> scales.Felt:
        """The three regions as used: after the fat pocket."""
        return self.felt.with_pocket(self.fat_pocket)

    @property
    def sixths(self) -> int | None:
        """The exact overall in sixths of a point."""
        return self.used.sixths() if self.scale == scales.FIVE else _times_three(self.whole)

    def content(self) -> dict[str, Any]:
        """Return what a replay must match."""
        return content_key(self)


def _times_three(halves: int | None) -> int | None:
    return None if halves is None else halves * 3


def content_key(reading: Reading) -> dict[str, Any]:
    """Return the canonical content that tells a replay from a clash.

    Decimals by value, times by instant, what was omitted as its default; without the id, without
    when it was sent and what that made of its time, and without the version of our own tables.
    """
    apart = {"id", "sent_at", "corrected_at", "skew_seconds", "scale_version", "weight"}
    found = plain.content(reading, without=frozenset(apart))
    found["weighing"] = None if reading.weight is None else reading.weight.content()
    return found


@dataclass(frozen=True, slots=True)
class References:
    """The ids that raw readings name, to be looked up before they are checked."""

    horses: frozenset[UUID]
    instruments: frozenset[UUID]


def references(raws: Iterable[object]) -> References:
    """Return the ids of horses and instruments that raw readings or weighings name."""
    horses, instruments = set(), set()
    for raw in raws:
        sheet = raw if isinstance(raw, Mapping) else {}
        inner = sheet.get("weighing")
        horses.add(_id(sheet.get("horse")))
        instruments.add(_id(sheet.get("instrument")))
        instruments.add(_id(inner.get("instrument") if isinstance(inner, Mapping) else None))
    return References(frozenset(horses - {None}), frozenset(instruments - {None}))  # type: ignore[arg-type]


def _id(sent: object) -> UUID | None:
    try:
        return forms.uuid(sent)
    except forms.Unfit:
        return None


def check(
    raw: object,
    *,
    now: datetime,
    subjects: Mapping[UUID, clocks.Subject],
    instruments: Mapping[UUID, str],
    correcting: bool = False,
    known: weighing.Known = weighing.NOTHING_KNOWN,
) -> Reading:
    """Return a reading, or raise Invalid naming every fault at once.

    ``subjects`` are the animals that the viewer may name, ``instruments`` the kinds of those; an id
    in neither is refused at its field. ``now`` is when the reading was received.
    """
    reader = Reader(raw)
    ref, horse = reader.uuid("id"), reader.uuid("horse", required=True)
    subject = subjects.get(horse) if horse is not None else None
    if horse is not None and subject is None:
        reader.refuse("horse", "unknown_reference")
    taken = clocks.read(reader, "taken_at", now=now, subject=subject)
    scores = _scores(reader, subject)
    beside = _beside(reader)
    inner = reader.inside("weighing")
    at = taken.corrected_at if taken is not None else None
    animal = measured.animal(subject, at) if subject is not None else None
    weight = weighing.read(inner, instruments, animal, known) if inner is not None else None
    reason = reader.text("reason", most=REASON_MOST, required=True) if correcting else ""
    reader.finish()
    when = given(taken)
    return Reading(
        id=ref,
        horse=given(horse),
        taken_at=when.taken_at,
        sent_at=when.sent_at,
        corrected_at=when.corrected_at,
        skew_seconds=when.skew_seconds,
        weight=weight,
        reason=reason,
        **scores,
        **beside,
    )


def _scores(reader: Reader, subject: clocks.Subject | None) -> dict[str, Any]:
    key = reader.choice("scale", scales.SCALES, required=True)
    if key and subject is not None and key not in scales.for_species(subject.species):
        allowed = " | ".join(scales.for_species(subject.species))
        reader.refuse("scale", "wrong_scale", species=subject.species, scales=allowed)
    key = key or scales.FIVE
    regions = _regions(reader) if key == scales.FIVE else _whole(reader, key)
    return {
        "scale": key,
        "scale_version": scales.of(key).version,
        "manner": reader.choice("manner", MANNERS, required=True),
        **regions,
        "fat_pocket": _pocket(reader, key),
        "by_eye": scales.read(reader, "by_eye", key),
        "crest": scales.read(reader, "crest", scales.CREST),
        "findings": landmark.read(reader, key),
    }


def _regions(reader: Reader) -> dict[str, int | None]:
    not_safe = reader.choices("not_safe", scales.REGIONS)
    if reader.has(scales.WHOLE) and reader.raw(scales.WHOLE) is not None:
        reader.refuse(scales.WHOLE, "overall_is_worked_out")
    inner = reader.inside("regions")
    felt = inner if inner is not None else Reader({}, "regions", reader.faults)
    found = {}
    for name in scales.REGIONS:
        before = len(reader.faults)
        score = scales.read(felt, name, scales.FIVE)
        if len(reader.faults) == before:
            _safe_or_scored(felt, name, score, name in not_safe)
        found[name] = score
    neck, back, hind = (found[name] for name in scales.REGIONS)
    return {"neck": neck, "back": back, "hind": hind, "whole": None}


def _whole(reader: Reader, key: str) -> dict[str, int | None]:
    not_safe = reader.choices("not_safe", (scales.WHOLE,))
    if reader.has("regions") and reader.raw("regions") is not None:
        reader.refuse("regions", "no_regions_on_scale", scale=key)
    before = len(reader.faults)
    whole = scales.read(reader, scales.WHOLE, key)
    if len(reader.faults) == before:
        _safe_or_scored(reader, scales.WHOLE, whole, bool(not_safe))
    return {"neck": None, "back": None, "hind": None, "whole": whole}


def _safe_or_scored(reader: Reader, name: str, score: int | None, is_not_safe: bool) -> None:
    if score is None and not is_not_safe:
        reader.refuse(name, "score_or_not_safe")
    elif score is not None and is_not_safe:
        reader.refuse(name, "scored_and_not_safe")


def _pocket(reader: Reader, key: str) -> str:
    pocket = reader.choice("fat_pocket", scales.POCKETS, default=scales.NO_POCKET)
    if key != scales.FIVE and pocket != scales.NO_POCKET:
        reader.refuse("fat_pocket", "pocket_only_on_five")
    return pocket


def _beside(reader: Reader) -> dict[str, Any]:
    signs = reader.choices("danger_signs", danger.signs())
    looked = reader.flag("looked_for_danger")
    return {
        "danger_signs": signs,
        # A sign that was seen was looked for; an empty list alone is not a finding.
        "looked_for_danger": bool(signs) or bool(looked),
        "appetite": reader.choice("appetite", APPETITES),
        "muscle": reader.choice("muscle", MUSCLES),
        "coat": reader.choice("coat", COATS),
        "rug_off": reader.flag("rug_off"),
        "held_by": reader.text("held_by", most=HELD_MOST),
        "limits": reader.text("limits", most=LIMITS_MOST),
        "note": reader.text("note", most=NOTE_MOST, lines=True),
    }
