"""What a person may answer to an alert: raw input in, a checked answer out, all faults at once."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta

from scoring.rules import ladder
from yards.rules import fields

STEP, REASON, TEXT = 300, 500, 2000
VERSION = 2**31 - 1
# The longest that an answer may put an alert off, so that none is put off for good.
LONGEST: Mapping[str, timedelta] = {
    ladder.URGENT: timedelta(days=2),
    ladder.ACT: timedelta(days=14),
    ladder.WATCH: timedelta(days=28),
}


@dataclass(frozen=True, slots=True)
class Acknowledgement:
    """Who took it on says what happens next, and by when."""

    next_step: str
    by: datetime
    note: str
    version: int | None


@dataclass(frozen=True, slots=True)
class Resolution:
    """Why the alert is closed, and what the vet said."""

    reason: str
    vet_said: str
    version: int | None


@dataclass(frozen=True, slots=True)
class Snooze:
    """Until when the alert is put off, and why."""

    until: datetime
    reason: str
    version: int | None


def acknowledgement(raw: object, *, severity: str, now: datetime) -> Acknowledgement:
    """Return a checked acknowledgement; by default the step is due as soon as the severity asks.

    Raises Invalid with every fault.
    """
    sheet = fields.Reader(raw)
    found = Acknowledgement(
        next_step=sheet.text("next_step", most=STEP, required=True),
        by=sheet.instant("by") or now + ladder.NEXT_STEP_WITHIN[severity],
        note=sheet.text("note", most=TEXT, lines=True),
        version=_version(sheet),
    )
    _within(sheet, "by", found.by, now, severity)
    sheet.finish()
    return found


def resolution(raw: object, *, vet_must_speak: bool) -> Resolution:
    """Return a checked resolution. Raises Invalid with every fault."""
    sheet = fields.Reader(raw)
    found = Resolution(
        reason=sheet.text("reason", most=REASON, required=True),
        vet_said=sheet.text("vet_said", most=TEXT, lines=True),
        version=_version(sheet),
    )
    if vet_must_speak and not found.vet_said:
        sheet.refuse("vet_said", "vet_said_required")
    sheet.finish()
    return found


def snooze(raw: object, *, severity: str, now: datetime) -> Snooze:
    """Return a checked snooze.

    Urgent alerts, those that protect life among them, are never put off. Raises Invalid with every
    fault.
    """
    sheet = fields.Reader(raw)
    until = sheet.instant("until", required=True)
    reason = sheet.text("reason", most=STEP, required=True)
    version = _version(sheet)
    if severity == ladder.URGENT:
        sheet.refuse("until", "urgent_never_snoozed")
    elif until is not None:
        _within(sheet, "until", until, now, severity)
    sheet.finish()
    return Snooze(until=fields.given(until), reason=reason, version=version)


def _version(sheet: fields.Reader) -> int | None:
    return sheet.integer("version", low=1, high=VERSION)


def _within(sheet: fields.Reader, name: str, at: datetime, now: datetime, severity: str) -> None:
    if at <= now:
        sheet.refuse(name, "must_be_later_than_now")
    elif at > now + LONGEST[severity]:
        sheet.refuse(name, "too_far_off", days=LONGEST[severity].days)
