"""An absence as it comes in: who is away, from when until when, why."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from uuid import UUID

from yards.rules import fields, plain

REASON_MOST = 300
LONGEST = timedelta(days=366)


@dataclass(frozen=True, slots=True)
class Away:
    """A checked absence; no person is whoever says it, no beginning is now."""

    id: UUID | None
    person: UUID | None
    from_at: datetime | None
    until_at: datetime
    reason: str

    def content(self) -> dict[str, object]:
        """Return what a replay must match, and the ledger says."""
        return plain.content(self, without=frozenset({"id"}))


def check(raw: object, *, now: datetime) -> Away:
    """Return a checked absence: it begins now unless said, and ends later. Raises Invalid."""
    sheet = fields.Reader(raw)
    ref, person = sheet.uuid("id"), sheet.uuid("person")
    begins = sheet.instant("from")
    until = sheet.instant("until", required=True)
    reason = sheet.text("reason", most=REASON_MOST)
    if until is not None and until <= max(begins or now, now):
        sheet.refuse("until", "ends_before_it_begins")
    elif until is not None and until > now + LONGEST:
        sheet.refuse("until", "too_far_off", days=LONGEST.days)
    sheet.finish()
    return Away(ref, person, begins, fields.given(until), reason)


def ending(raw: object) -> str:
    """Return why an absence is ended before its time, if that was said. Raises Invalid."""
    sheet = fields.Reader(raw)
    reason = sheet.text("reason", most=REASON_MOST)
    sheet.finish()
    return reason
