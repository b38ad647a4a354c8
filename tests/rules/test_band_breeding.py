"""The band of mares: covered, in foal, late in foal, in milk, dry again, and why."""

from datetime import date, timedelta
from decimal import Decimal

import pytest

from scoring.rules import band
from tests.outside import FROM_MEMORY, WITHIN_TOLERANCE, outside
from yards.rules.breeding import Happened

GROWN = date(2014, 1, 1)
COVERED, FOALED = date(2025, 4, 10), date(2026, 3, 16)
DAY = timedelta(days=1)
EDGES = {
    "leisure": ("2.0", "3.0"),
    "broodmare": ("3.0", "3.5"),
    "late_in_foal": ("3.0", "3.5"),
    "early_in_milk": ("2.5", "3.5"),
    "lactating": ("2.5", "3.5"),
    "donkey": ("2.5", "3.5"),
}


def found(
    word: str,
    on: date,
    *happened: tuple[str, date],
    species: str = "horse",
    use: str = "leisure",
    scale: str | None = None,
) -> band.Band:
    facts = band.Facts(
        species,
        use,
        breeding=word,
        born_earliest=GROWN,
        hemisphere="none",
        happened=tuple(Happened(*each) for each in happened),
    )
    return band.band(facts, on, scale)


def keys(of: band.Band) -> list[str]:
    return [each.key for each in of.why if each.key not in ("band_no_seasons",)]


@pytest.mark.parametrize(
    ("word", "on", "happened", "key", "why"),
    [
        ("covered", COVERED + 60 * DAY, [], "leisure", ["band_leisure"]),
        (
            "covered",
            COVERED + 60 * DAY,
            [("covered", COVERED)],
            "broodmare",
            ["band_perhaps_in_foal"],
        ),
        ("pregnant", COVERED, [], "broodmare", ["band_in_foal_undated"]),
        ("pregnant", date(2025, 12, 9), [("covered", COVERED)], "broodmare", ["band_in_foal"]),
        (
            "pregnant",
            date(2025, 12, 10),
            [("covered", COVERED)],
            "late_in_foal",
            ["band_late_in_foal"],
        ),
        (
            "pregnant",
            COVERED + 401 * DAY,
            [("covered", COVERED)],
            "broodmare",
            ["band_in_foal_undated", "band_covered_too_long_ago"],
        ),
        ("lactating", FOALED, [], "lactating", ["band_in_milk_undated"]),
        ("lactating", FOALED, [("foaled", FOALED)], "early_in_milk", ["band_early_in_milk"]),
        (
            "lactating",
            date(2026, 6, 16),
            [("foaled", FOALED)],
            "lactating",
            ["band_in_milk"],
        ),
        (
            "lactating",
            date(2026, 9, 16),
            [("foaled", FOALED)],
            "leisure",
            ["band_leisure", "band_milk_over"],
        ),
        (
            "empty",
            date(2026, 8, 1),
            [("foaled", FOALED), ("weaned", date(2026, 8, 1))],
            "leisure",
            ["band_leisure"],
        ),
        (
            "covered",
            FOALED + 60 * DAY,
            [("foaled", FOALED), ("covered", FOALED + 30 * DAY)],
            "early_in_milk",
            ["band_early_in_milk"],
        ),
    ],
)
def test_a_mares_months_choose_her_band(
    word: str, on: date, happened: list[tuple[str, date]], key: str, why: list[str]
) -> None:
    of = found(word, on, *happened)
    assert of.key == key
    assert (of.low, of.high) == tuple(Decimal(edge) for edge in EDGES[key])
    assert keys(of) == why
    assert of.source
    assert of.confidence in ("secondary", "memory")


def test_the_day_of_foaling_changes_the_band_and_the_day_before_does_not() -> None:
    told = ("covered", COVERED), ("foaled", FOALED)
    assert found("lactating", FOALED - DAY, *told).key == "late_in_foal"
    assert found("lactating", FOALED, *told).key == "early_in_milk"


def test_a_broodmare_that_is_dry_and_empty_is_a_broodmare() -> None:
    told = ("foaled", FOALED), ("weaned", date(2026, 8, 1))
    assert found("empty", date(2026, 8, 2), *told, use="broodmare").key == "broodmare"


def test_a_month_is_among_the_reasons() -> None:
    [first, *_] = found("pregnant", date(2026, 1, 20), ("covered", COVERED)).why
    assert first == ("band_late_in_foal", {"month": 10})


def test_donkeys_keep_their_own_band_and_a_caution_when_bred() -> None:
    alone = found("", COVERED, species="donkey")
    bred = found("pregnant", COVERED, ("covered", COVERED), species="donkey")
    assert (alone.key, bred.key) == ("donkey", "donkey")
    assert keys(alone) == ["band_donkey"]
    assert keys(bred) == ["band_donkey", "band_donkey_bred"]


@outside(
    "mares that foal below 5 on 1-9 rebreed poorly; above moderate does no harm; no upper edge",
    source="Henneke, Potter and Kreider 1984, Theriogenology 21:897-909, as quoted by extension",
    status=WITHIN_TOLERANCE,
)
def test_a_mare_late_in_foal_is_not_thin_and_not_told_to_slim_above_moderate() -> None:
    of = found("pregnant", date(2026, 1, 20), ("covered", COVERED), scale="nine")
    assert of.low == 5
    assert of.high >= 6
    assert of.confidence == "secondary"


@outside(
    "in milk 2.5 to 3.5 on 0-5 and 5 to 6.5 on 1-9",
    source="habits of studs; fat reserve may fall in months 1 to 3",
    status=FROM_MEMORY,
)
def test_a_mare_in_milk_has_a_lower_floor_than_at_foaling() -> None:
    milk = found("lactating", FOALED, ("foaled", FOALED))
    assert (milk.low, milk.high) == (Decimal("2.5"), Decimal("3.5"))
    assert milk.low < found("pregnant", FOALED).low
    nine = found("lactating", FOALED, ("foaled", FOALED), scale="nine")
    assert (nine.low, nine.high) == (Decimal(5), Decimal("6.5"))
    assert nine.confidence == milk.confidence == "memory"
