"""The band that is drawn is the band of each day, not today's: orders, use, yard, foal, age."""

from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from typing import Any

import pytest

from scoring.actions import assessments, vet_orders
from scoring.models import Assessment
from scoring.queries import trend
from scoring.queries.band_days import BandPoint
from tests import cast, readings
from tests.conftest import _owner
from yards.actions import events, horses
from yards.models import Horse, Yard

NOW = datetime(2026, 11, 2, 12, tzinfo=UTC)
DAY = timedelta(days=1)
Edges = tuple[str, str]


def ago(days: float) -> datetime:
    return NOW - days * DAY


def band(inside: Any, name: str = "Teasel", back: int = 365) -> tuple[BandPoint, ...]:
    with inside("maud") as viewer:
        return trend.get_trend(viewer, cast.ref(name), since=ago(back), now=NOW).band


def stairs(points: tuple[BandPoint, ...]) -> list[tuple[date, Edges]]:
    """Each band with the first day that it holds."""
    found: list[tuple[date, Edges]] = []
    for each in points:
        edges = (f"{each.low:.1f}", f"{each.high:.1f}")
        if not found or found[-1][1] != edges:
            found.append((each.on, edges))
    return found


def order(inside: Any, days: float, until: float, low: str, high: str) -> Any:
    with inside("keziah") as vet:
        raw = {
            "band": {"low": low, "high": high},
            "reason": "Slowly",
            "until": (NOW + until * DAY).isoformat(),
        }
        return vet_orders.give_vet_order(vet, cast.ref("Teasel"), raw, now=ago(days))


def change(inside: Any, name: str, days: float, **facts: Any) -> None:
    with inside("isolde") as viewer:
        version = Horse.objects.get(ref=cast.ref(name)).version
        raw = {"version": version, **facts}
        horses.change_horse(viewer, cast.ref(name), raw, now=ago(days))


def test_an_order_holds_from_its_day_until_it_was_ended_early(inside: Any) -> None:
    given = order(inside, 100, 60, "2", "2.5")
    with inside("keziah") as vet:
        vet_orders.end_vet_order(vet, given.id, {"reason": "Done"}, now=ago(40))
    assert stairs(band(inside)) == [
        (ago(365).date(), ("2.0", "3.0")),
        (ago(100).date(), ("2.0", "2.5")),
        (ago(40).date(), ("2.0", "3.0")),
    ]


def test_an_order_ends_on_its_own_day_and_a_newer_one_takes_over(inside: Any) -> None:
    order(inside, 100, -50, "2", "2.5")
    order(inside, 70, -60, "2.5", "3.5")
    assert stairs(band(inside))[1:] == [
        (ago(100).date(), ("2.0", "2.5")),
        (ago(70).date(), ("2.5", "3.5")),
        (ago(60).date(), ("2.0", "2.5")),
        (ago(50).date(), ("2.0", "3.0")),
    ]


def test_an_order_of_this_morning_is_drawn_today(inside: Any) -> None:
    order(inside, 0.1, 60, "2", "2.5")
    [first, today] = stairs(band(inside))
    assert first[1] == ("2.0", "3.0")
    assert today == (NOW.date(), ("2.0", "2.5"))


def test_a_use_holds_from_the_day_that_the_ledger_has(inside: Any) -> None:
    change(inside, "Teasel", 200, use="athlete")
    change(inside, "Teasel", 90, handling="Kind")
    change(inside, "Teasel", 80, use="leisure")
    assert stairs(band(inside)) == [
        (ago(365).date(), ("2.0", "3.0")),
        (ago(200).date(), ("2.0", "2.5")),
        (ago(80).date(), ("2.0", "3.0")),
    ]


def test_before_a_change_that_was_erased_there_is_no_band(inside: Any, database: str) -> None:
    change(inside, "Teasel", 200, use="athlete")
    with _owner(database) as owner, owner.transaction():
        owner.execute(
            "SELECT set_config('halfpoint.organisation', %s, true)", [str(cast.ref(cast.QUILLET))]
        )
        owner.execute("ALTER TABLE yards_entrypayload DISABLE TRIGGER USER")
        owner.execute(
            "DELETE FROM yards_entrypayload WHERE entry_id IN"
            " (SELECT id FROM yards_entry WHERE verb = 'horse.changed')"
        )
    assert stairs(band(inside)) == [(ago(200).date(), ("2.0", "2.5"))]


def test_before_the_record_begins_there_is_no_band(inside: Any) -> None:
    points = band(inside, back=731)
    assert points[0].on == cast.BEGAN.date()
    with inside("maud") as viewer:
        card = trend.get_trend(viewer, cast.ref("Teasel"), since=ago(900), until=ago(700), now=NOW)
    assert card.band == ()
    assert card.band_from == cast.BEGAN.date()


def test_a_mare_had_no_foal_s_band_before_it_came_nor_before_she_was_covered(inside: Any) -> None:
    with inside("isolde") as viewer:
        for kind, days in (("covered", 430), ("foaled", 95)):
            raw = {"kind": kind, "at": ago(days).isoformat()}
            events.record_event(viewer, cast.ref("Tansy"), raw, now=NOW)
    points = band(inside, "Tansy", 600)
    keys: dict[str, date] = {}
    for each in points:
        keys.setdefault(each.key, each.on)
    assert [*keys] == ["broodmare", "late_in_foal", "early_in_milk", "lactating"]
    assert keys["early_in_milk"] == ago(95).date()
    assert keys["late_in_foal"] < ago(95).date()
    # Three calendar months of early milk, by the rule itself.
    assert keys["lactating"] == date(2026, 10, 30)


def test_a_word_that_a_hand_put_in_her_record_holds_from_that_day(inside: Any) -> None:
    change(inside, "Tansy", 60, breeding="lactating")
    keys = {each.on: each.key for each in band(inside, "Tansy", 300)}
    assert keys[ago(61).date()] == "broodmare"
    assert keys[ago(60).date()] == "lactating"


def test_the_aim_is_of_the_seasons_of_the_yard_it_then_stood_in(inside: Any) -> None:
    with inside("isolde") as viewer:
        south = {"time_zone": "Pacific/Auckland", "hemisphere": "south"}
        Yard.objects.filter(ref=cast.ref("Sallow Field")).update(**south)
        moved = {"yard": str(cast.ref("Sallow Field")), "at": ago(100).isoformat()}
        horses.move_horse(viewer, cast.ref("Teasel"), moved, now=NOW)
    aims = {each.on: each.aim for each in band(inside)}
    # Late July: in the north between lean and full, in the south at the winter's end.
    before, after = (min(on for on in aims if on >= ago(days).date()) for days in (101, 99))
    assert aims[before] - aims[after] > Decimal("0.1")
    assert aims[date(2026, 3, 1)] < Decimal("2.3"), "the end of the north's winter"


def test_a_youngster_grows_up_on_its_day(inside: Any) -> None:
    with inside("isolde"):
        Horse.objects.filter(ref=cast.ref("Teasel")).update(
            born="2022-06-10", born_earliest=date(2022, 6, 10)
        )
    keys: dict[str, date] = {}
    for each in band(inside):
        keys.setdefault(each.key, each.on)
    assert [*keys] == ["youngster", "leisure"]
    assert (keys["leisure"].month, keys["leisure"].day) == (6, 10)


@pytest.fixture
def lived(inside: Any) -> None:
    """A year with a reading every fortnight, an order, another use, a move to other seasons."""
    steps: list[tuple[float, Any]] = [
        (210, lambda: change(inside, "Teasel", 210, use="athlete")),
        (150, lambda: order(inside, 150, -20, "2.5", "3.5")),
        (60, lambda: change(inside, "Teasel", 60, use="companion")),
    ]
    for days in range(330, 0, -14):
        while steps and steps[0][0] > days:
            steps.pop(0)[1]()
        with inside("tobias") as viewer:
            raw = readings.raw("Teasel", ago(days), "3", "3", "3")
            assessments.record_assessment(viewer, raw, now=ago(days))


def test_what_is_drawn_is_what_each_reading_was_held_against(inside: Any, lived: None) -> None:
    """So the herd, which counts by what readings keep, agrees with the drawing.

    One of them arrives when the horse has long been kept for another use.
    """
    with inside("tobias") as viewer:
        late = readings.raw("Teasel", ago(205), "3", "3", "3")
        answer = assessments.record_assessment(viewer, late, now=NOW)
    assert answer.band is not None
    assert (answer.place, answer.band.high) == ("above", Decimal("2.5"))
    points = band(inside)
    with inside("maud"):
        rows = list(Assessment.objects.filter(horse__ref=cast.ref("Teasel")))
    assert len({(row.band_low, row.band_high) for row in rows}) == 3
    for row in rows:
        held = [each for each in points if each.on <= row.corrected_at.date()][-1]
        assert (held.low, held.high) == (row.band_low, row.band_high), row.corrected_at
