"""Whose clock: a device's time of taking, put right by how far its clock was off when it sent.

``taken_at`` is kept as given; the corrected time is ``taken_at + (received_at - sent_at)``. Rules,
order and the check of the future use the corrected time. The time a message spends on its way
counts as the device's being slow; it is small beside what a wrong clock does.
"""

from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from zoneinfo import ZoneInfo

from yards.rules.fields import Reader

AHEAD = timedelta(minutes=5)
EARLIEST = datetime(1970, 1, 1, tzinfo=UTC)


@dataclass(frozen=True, slots=True)
class Subject:
    """What readings of an animal must agree with.

    ``gone`` is "" for one that is here, else "dead" or "rehomed"; ``gone_at`` is when. ``zone`` is
    its yard's, whose calendar tells whether a reading lies before the birth. ``born_latest`` is the
    last day that its birth can mean. Kind, sex, height and breeding tell which formula fits.
    """

    species: str
    born_earliest: date | None = None
    gone: str = ""
    gone_at: datetime | None = None
    zone: str = "UTC"
    kind: str = ""
    sex: str = ""
    born_latest: date | None = None
    height_cm: Decimal | None = None
    is_pregnant: bool = False


@dataclass(frozen=True, slots=True)
class Taken:
    """When something was taken, by the device's clock and by ours; the skew in seconds.

    The skew is how far the device's clock was behind ours; None when it did not say.
    """

    taken_at: datetime
    sent_at: datetime | None
    corrected_at: datetime
    skew_seconds: int | None


def corrected(taken_at: datetime, sent_at: datetime | None, received_at: datetime) -> datetime:
    """Return the time of taking on our clock."""
    return taken_at if sent_at is None else taken_at + (received_at - sent_at)


def read(
    reader: Reader, name: str, *, now: datetime, subject: Subject | None, nested: bool = False
) -> Taken | None:
    """Return when it was taken, or note why that cannot be: the future, before birth, after an end.

    ``name`` is the field that holds the time of taking; ``now`` is when we received it.
    """
    taken_at = reader.instant(name, required=not nested)
    sent_at = reader.instant("sent_at")
    if taken_at is None:
        return None
    at = corrected(taken_at, sent_at, now)
    skew = None if sent_at is None else round((now - sent_at).total_seconds())
    if at > now + AHEAD:
        reader.refuse(name, "in_the_future")
    elif at < EARLIEST:
        reader.refuse(name, "too_long_ago", year=EARLIEST.year)
    elif subject is not None:
        _agree(reader, name, at, subject)
    return Taken(taken_at, sent_at, at, skew)


def _agree(reader: Reader, name: str, at: datetime, subject: Subject) -> None:
    born = subject.born_earliest
    if born is not None and at.astimezone(ZoneInfo(subject.zone)).date() < born:
        reader.refuse(name, "before_birth")
    if subject.gone_at is not None and at > subject.gone_at:
        reader.refuse(name, "after_death" if subject.gone == "dead" else "after_departure")
