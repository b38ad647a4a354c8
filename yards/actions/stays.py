"""Where a horse stands, from when until when, and how that ends.

A horse that is here has one open stay; one that is gone has none. Called with the horse's row
locked, so that two moves never cross; the database refuses stays that overlap whatever we do.
"""

from datetime import datetime, timedelta
from uuid import UUID

from yards.actions import once
from yards.models import Horse, Stay, Yard
from yards.rules import errors, event

_MOMENT = timedelta(microseconds=1)


def last(horse: Horse) -> Stay:
    """Return a horse's latest stay; every horse has one from its registration on."""
    return Stay.objects.filter(horse=horse).order_by("-from_at", "-id")[0]


def begin(horse: Horse, yard: Yard, at: datetime, ref: UUID | None = None) -> Stay:
    """Open a stay of a horse in a yard; raises Conflict when its ref is another stay's."""
    stay, is_new = once.insert(
        Stay(
            organisation_id=horse.organisation_id,
            ref=once.new_ref(ref),
            horse=horse,
            yard=yard,
            from_at=at,
        )
    )
    if not is_new:
        raise errors.Conflict(errors.FieldError("id", "same_id_other_content"))
    return stay


def close(stay: Stay, at: datetime, field: str = "at") -> None:
    """End a stay; raises Invalid at ``field`` for an instant at or before its beginning."""
    if at <= stay.from_at:
        raise errors.Invalid(errors.FieldError(field, "before_current_stay"))
    stay.until_at = at
    stay.save(update_fields=["until_at"])


def cut(stay: Stay, now: datetime) -> None:
    """End a stay now, be it in the very moment in which it began."""
    close(stay, max(now, stay.from_at + _MOMENT))


def end(horse: Horse, status: str, at: datetime, now: datetime, field: str) -> None:
    """Set a horse's end, dead or rehomed, and close its stay; the caller saves the horse.

    Ending one that is gone already moves the end. Raises Invalid at ``field`` for an instant in the
    future or before the latest stay.
    """
    if at > now + event.AHEAD:
        raise errors.Invalid(errors.FieldError(field, "in_the_future"))
    close(last(horse), at, field)
    horse.status, horse.ended_at = status, at


def come_back(horse: Horse, status: str, now: datetime) -> None:
    """Undo a horse's end; the caller saves the horse.

    A death undone was an error, so the stay goes on as if it had not ended; a horse that was
    rehomed and returns begins a new stay.
    """
    stay = last(horse)
    if horse.status == "dead" or stay.until_at is None or stay.until_at >= now:
        stay.until_at = None
        stay.save(update_fields=["until_at"])
    else:
        begin(horse, horse.yard, now)
    horse.status, horse.ended_at = status, None
