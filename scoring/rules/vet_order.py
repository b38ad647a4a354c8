"""What a vet sets for one horse: its band, how often to look, and until when."""

from dataclasses import dataclass
from datetime import datetime
from typing import Any
from uuid import UUID

from scoring.rules import scale as scales
from yards.rules import plain
from yards.rules.fields import Reader, given

REASON_MOST = 500
DAYS = (1, 365)


@dataclass(frozen=True, slots=True)
class VetOrder:
    """A checked order. A band is in half points on the horse's usual scale; days are days."""

    id: UUID | None
    band_low: int | None
    band_high: int | None
    score_days: int | None
    weight_days: int | None
    reason: str
    until_at: datetime

    def content(self) -> dict[str, Any]:
        """Return what a replay must match."""
        return plain.content(self, without=frozenset({"id"}))


def check(raw: object, *, species: str, now: datetime) -> VetOrder:
    """Return an order, or raise Invalid naming every fault: no band and no days, an end gone by.

    A band must be at least half a point wide, so that an aim fits a quarter point inside.
    """
    reader = Reader(raw)
    ref = reader.uuid("id")
    low, high = _band(reader, scales.usual_for(species))
    least, most = DAYS
    score_days = reader.integer("score_days", low=least, high=most)
    weight_days = reader.integer("weight_days", low=least, high=most)
    if (low, score_days, weight_days) == (None, None, None) and not reader.faults:
        reader.refuse("band", "order_sets_nothing")
    reason = reader.text("reason", most=REASON_MOST, required=True)
    until_at = reader.instant("until", required=True)
    if until_at is not None and until_at <= now:
        reader.refuse("until", "must_be_later_than_now")
    reader.finish()
    return VetOrder(ref, low, high, score_days, weight_days, reason, given(until_at))


@dataclass(frozen=True, slots=True)
class End:
    """Why an order ends sooner than it said."""

    id: UUID | None
    reason: str


def check_end(raw: object) -> End:
    """Return why an order ends, or raise Invalid naming every fault."""
    reader = Reader(raw)
    found = End(reader.uuid("id"), reader.text("reason", most=REASON_MOST, required=True))
    reader.finish()
    return found


def _band(reader: Reader, key: str) -> tuple[int | None, int | None]:
    inner = reader.inside("band")
    if inner is None:
        return None, None
    low, high = scales.read(inner, "low", key), scales.read(inner, "high", key)
    for name, found in (("low", low), ("high", high)):
        if found is None and not reader.faults:
            inner.refuse(name, "required")
    if low is not None and high is not None and high - low < 1:
        inner.refuse("high", "band_too_narrow")
    return low, high
