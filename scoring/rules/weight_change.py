"""What changing the score of a grown, healthy horse takes: days, energy, and how fast is safe.

One score on 1-9 is 16 to 20 kg at 500 kg (NRC 2007, score 4 to 5, quoted elsewhere), 3.2 to 4% of
other weights. There is no weight per point for 0-5: refused, or doubled on request and called
approximate. A kilogram gained asks about 20 Mcal above maintenance (quoted elsewhere; a trial found
18 to 34). Loss is 0.5 to 1% a week, and the first week, mostly gut fill, is left out. Rows and
sources: ``fixtures/weight_change.json``. Kilograms, megacalories of digestible energy, days.

Who may be fed for a change at all is ``ration_guard``'s: nobody emaciated, ill, growing, in foal.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal
from functools import cache
from typing import Any

from scoring.rules import energy, ration_input, ration_keys
from scoring.rules import scale as scales
from scoring.rules.ration_input import Value
from yards.rules import errors, fixture
from yards.rules.errors import FieldError

CAUTIONS = (*ration_keys.ALWAYS, *ration_keys.CHANGES)
PACES = tuple(ration_keys.PACES)
_WEEK = 7
_CENT = Decimal("0.01")

Span = tuple[Decimal, Decimal]


@dataclass(frozen=True, slots=True)
class Point:
    """The kilograms of one score, from low to high; ``is_approximate`` where none is published."""

    kg: Span
    is_approximate: bool
    cautions: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Gain:
    """One score up: kilograms, and megacalories a day above what the animal needs, low to high.

    ``percent`` is that extra as a share of average maintenance.
    """

    days: int
    kg: Span
    kg_a_day: Span
    extra_mcal: Span
    percent: Span
    is_approximate: bool
    cautions: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Days:
    """How many days one score takes, from the fewest to the most."""

    low: int
    high: int
    is_approximate: bool
    cautions: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Pace:
    """How fast weight went after the first week: per cent a week lost, and one of ``PACES``.

    ``percent_a_week`` is None with ``pace_not_yet``; below zero it is a gain. The days are those
    of the two weighings that were compared.
    """

    verdict: str
    percent_a_week: Decimal | None
    first_on: date | None
    last_on: date | None
    cautions: tuple[str, ...]


def _data() -> dict[str, Any]:
    found: dict[str, Any] = fixture.load("weight_change")
    return found


@cache
def _used(table: str) -> Mapping[str, Any]:
    return next(row for row in _data()[table] if row["used"])


def _span(table: str) -> Span:
    row = _used(table)
    return Decimal(row["low"]), Decimal(row["high"])


def one_point(weight_kg: Value, scale: str, *, is_approximate_enough: bool = False) -> Point:
    """Return the kilograms of one score on "nine"; on "five" only where approximate will do.

    Published in mid-scale only, 4 to 5. Raises Invalid: other scales have no weight per point.
    """
    kg = ration_input.weight(weight_kg)
    known = (scales.NINE, scales.FIVE) if is_approximate_enough else (scales.NINE,)
    if scale not in known:
        raise errors.Invalid(FieldError("scale", "no_weight_per_point"))
    at, (low, high) = Decimal(_used("kg_per_point")["at_kg"]), _span("kg_per_point")
    cautions = (*ration_keys.ALWAYS, "change_only_mid_scale")
    if scale == scales.NINE:
        return Point((low * kg / at, high * kg / at), False, cautions)
    nines = Decimal(_data()["nine_per_five"]["points"])
    span = (low * nines * kg / at, high * nines * kg / at)
    return Point(span, True, (*cautions, "change_approximate_on_five"))


def gain_in(
    weight_kg: Value, days: int, scale: str = scales.NINE, *, is_approximate_enough: bool = False
) -> Gain:
    """Return what one score up asks in 45 to 365 days; raises Invalid.

    Energy is kilograms times 20 Mcal over the days, on top of the animal's need.
    """
    point = one_point(weight_kg, scale, is_approximate_enough=is_approximate_enough)
    limits = _data()["days"]
    days = ration_input.whole("days", days, limits["low"], limits["high"])
    total = _total(point)
    extra = (total[0] / days, total[1] / days)
    need = energy.maintenance(weight_kg).energy_mcal
    return Gain(
        days=days,
        kg=point.kg,
        kg_a_day=(point.kg[0] / days, point.kg[1] / days),
        extra_mcal=extra,
        percent=(extra[0] * 100 / need, extra[1] * 100 / need),
        is_approximate=point.is_approximate,
        cautions=_of_gain(point, days),
    )


def days_to_gain(
    weight_kg: Value,
    extra_mcal: Value,
    scale: str = scales.NINE,
    *,
    is_approximate_enough: bool = False,
) -> Days:
    """Return how many days one score up takes at an extra of so many Mcal a day; raises Invalid.

    Not faster than 45 days at the least, nor slower than a year at the most.
    """
    point = one_point(weight_kg, scale, is_approximate_enough=is_approximate_enough)
    limits, total = _data()["days"], _total(point)
    low = (total[1] / limits["high"]).quantize(_CENT, ROUND_CEILING)
    high = (total[0] / limits["low"]).quantize(_CENT, ROUND_FLOOR)
    extra = ration_input.number("extra_mcal", extra_mcal, low, high)
    fewest = _whole(total[0] / extra, ROUND_FLOOR)
    most = _whole(total[1] / extra, ROUND_CEILING)
    return Days(fewest, most, point.is_approximate, _of_gain(point, fewest))


def _total(point: Point) -> Span:
    low, high = _span("mcal_per_kg_gain")
    return point.kg[0] * low, point.kg[1] * high


def _of_gain(point: Point, days: int) -> tuple[str, ...]:
    too_fast = days < _data()["days"]["published_from"]
    faster = ("change_faster_than_published",) if too_fast else ()
    return (*point.cautions, "change_energy_varies", *faster)


def weekly_loss(weight_kg: Value) -> Span:
    """Return the kilograms that may go in a week after the first: 0.5 to 1% (quoted elsewhere)."""
    kg, (low, high) = ration_input.weight(weight_kg), _span("loss_percent_a_week")
    return kg * low / 100, kg * high / 100


def days_to_lose(
    weight_kg: Value, scale: str = scales.NINE, *, is_approximate_enough: bool = False
) -> Days:
    """Return how many days one score down takes at 0.5 to 1% a week; raises Invalid.

    The first week comes on top: what falls then is mostly gut fill. Measured losses were slower,
    0.16 to 0.8% a week, and the score of ponies did not move in 12 weeks while girths did.
    """
    point = one_point(weight_kg, scale, is_approximate_enough=is_approximate_enough)
    (slow, fast), first = weekly_loss(weight_kg), _data()["first_week"]["days"]
    return Days(
        low=first + _whole(point.kg[0] * _WEEK / fast, ROUND_FLOOR),
        high=first + _whole(point.kg[1] * _WEEK / slow, ROUND_CEILING),
        is_approximate=point.is_approximate,
        cautions=(*point.cautions, *_OF_LOSS),
    )


_OF_LOSS = ("change_girth_before_score", "change_often_slower", "change_first_week_left_out")


def pace(start_on: date, weighings: Sequence[tuple[date, Value]]) -> Pace:
    """Return how fast weight went since a diet began, its first week left out; raises Invalid.

    ``weighings`` are days and kilograms in any order; none, one, or two within less than 14 days
    after the first week are not enough. It compares the first with the last, in per cent of the
    first: of the weight after week one, so a little sooner too fast than of the start weight. The
    trend of all weighings says more.
    """
    began = ration_input.day("start_on", start_on) + timedelta(_data()["first_week"]["days"])
    counted = [each for each in _by_day(weighings) if each[0] >= began]
    if not counted or (counted[-1][0] - counted[0][0]).days < _data()["pace_days"]["least"]:
        return Pace("pace_not_yet", None, None, None, (*ration_keys.ALWAYS, *_OF_LOSS))
    (first_on, first), (last_on, last) = counted[0], counted[-1]
    percent = (first - last) * 100 * _WEEK / first / (last_on - first_on).days
    return Pace(_verdict(percent), percent, first_on, last_on, (*ration_keys.ALWAYS, *_OF_LOSS))


def _by_day(weighings: Sequence[tuple[date, Value]]) -> list[tuple[date, Decimal]]:
    """Return the mean weight of each day, in the order of days."""
    found: dict[date, list[Decimal]] = {}
    for on, value in weighings:
        kg = ration_input.weight(value)
        found.setdefault(ration_input.day("weighed_on", on), []).append(kg)
    return [(on, sum(found[on], Decimal(0)) / len(found[on])) for on in sorted(found)]


def _verdict(percent: Decimal) -> str:
    low, high = _span("loss_percent_a_week")
    if percent <= 0:
        return "pace_no_loss"
    if percent < low:
        return "pace_slower"
    return "pace_as_aimed" if percent <= high else "pace_too_fast"


def _whole(value: Decimal, way: str) -> int:
    return int(value.to_integral_value(way))
