"""The band: 2 to 3 is the aim of a leisure horse, 2 leaving winter, 3 entering it."""

from datetime import UTC, date, datetime, timedelta
from decimal import Decimal

import pytest

from scoring.rules import band
from tests.outside import COMMON_PRACTICE, EXACT, FROM_MEMORY, WITHIN_TOLERANCE, outside
from yards.rules import fixture, seasons

LEISURE = band.Facts("horse", "leisure", born_earliest=date(2014, 1, 1))
APRIL = date(2026, 4, 12)
OLD = date(2000, 1, 1)
GROWN = date(2014, 1, 1)
TEXAS_AND_KENTUCKY = (
    "Texas A and M work quoted by two extension nutritionists; University of Kentucky extension "
    "talk; both as told by others"
)
HENNEKE_MARES = (
    "Henneke, Potter and Kreider 1984, Theriogenology 21:897-909, as quoted by extension services"
)


def edges(facts: band.Facts, scale: str | None = None) -> tuple[Decimal, Decimal]:
    found = band.band(facts, APRIL, scale)
    return found.low, found.high


def halves(low: str, high: str) -> tuple[Decimal, Decimal]:
    return Decimal(low), Decimal(high)


@outside(
    "leisure horses: 2 to 3, leanest leaving winter, fullest entering it",
    source="people who keep horses",
    status=COMMON_PRACTICE,
)
def test_leisure_horses_aim_between_2_and_3_leanest_as_winter_ends() -> None:
    leanest, fullest = band.band(LEISURE, date(2026, 2, 28)), band.band(LEISURE, date(2026, 11, 30))
    for found in (leanest, fullest):
        assert (found.low, found.high) == halves("2", "3")
    assert leanest.aim == Decimal("2.25")
    assert fullest.aim == Decimal("2.75")


@outside("adults in general: 4 to 6 on 1-9", source=TEXAS_AND_KENTUCKY, status=EXACT)
def test_the_general_optimum_on_the_nine_scale() -> None:
    assert edges(LEISURE, "nine") == halves("4", "6")


@outside(
    "athletes: nearer 4 than 5 on 1-9; another note says 5 did best, and is inside too",
    source=TEXAS_AND_KENTUCKY,
    status=WITHIN_TOLERANCE,
)
def test_athletes_stand_at_the_lean_end() -> None:
    low, high = edges(band.Facts("horse", "athlete", born_earliest=GROWN), "nine")
    assert (low, high) == halves("4", "5")
    assert high < edges(LEISURE, "nine")[1]


@outside(
    "broodmares: below 5 on 1-9 they rebreed poorly; upper edges advised lie between 6 and 7.5",
    source=HENNEKE_MARES,
    status=WITHIN_TOLERANCE,
)
def test_broodmares_are_not_thin() -> None:
    mare = band.Facts("horse", "broodmare", born_earliest=GROWN)
    low, high = edges(mare, "nine")
    assert low == 5
    assert 6 <= high <= Decimal("7.5")


@pytest.mark.parametrize(
    ("use", "low", "high"), [("athlete", "2", "2.5"), ("broodmare", "3", "3.5")]
)
def test_on_0_to_5_the_sources_on_1_to_9_are_our_reading(use: str, low: str, high: str) -> None:
    found = band.band(band.Facts("horse", use, born_earliest=GROWN), APRIL)
    assert (found.low, found.high) == halves(low, high)


def test_no_row_on_0_to_5_is_credited_to_a_source_on_1_to_9() -> None:
    for row in fixture.load("bands")["rows"]:
        if row["scale"] == "five" and ("Henneke" in row["source"] or "Kentucky" in row["source"]):
            assert row["confidence"] == "memory", row["class"]
            assert row["source"].startswith("Our reading for 0-5"), row["class"]


@outside(
    "old horses: between 2 and 4 on 0-5, never 5, below 2 not without a vet",
    source="a veterinary practice's leaflet on old horses",
    status=WITHIN_TOLERANCE,
)
def test_old_horses_stand_inside_what_a_practice_advises() -> None:
    low, high = edges(band.Facts("horse", "leisure", born_earliest=OLD))
    assert Decimal(2) <= low < high <= Decimal(4)
    assert (low, high) == halves("2.5", "3")


@outside(
    "donkeys: ideal 3 on their own 1-5 chart",
    source="the donkeys' chart of England's statutory code for equines, 2017",
    status=FROM_MEMORY,
)
def test_donkeys_have_an_ideal_of_3_on_their_own_scale() -> None:
    donkey = band.Facts("donkey", "companion", hemisphere=seasons.NONE)
    found = band.band(donkey, APRIL)
    assert (found.scale, found.aim) == ("donkey", Decimal(3))
    assert (found.low, found.high) == halves("2.5", "3.5")
    for scale in ("five", "nine"):
        with pytest.raises(ValueError, match="no band for a donkey"):
            band.band(donkey, APRIL, scale)


@outside(
    "in milk 5 to 6.5, stallions and youngsters 5 to 6, on 1-9",
    source="habits of studs and practices",
    status=FROM_MEMORY,
)
def test_other_classes_on_the_nine_scale() -> None:
    milk = band.Facts("horse", "leisure", breeding="lactating", born_earliest=GROWN)
    assert edges(milk, "nine") == halves("5", "6.5")
    for use in ("stallion", "youngster"):
        assert edges(band.Facts("horse", use), "nine") == halves("5", "6")


UNTIL = datetime(2026, 4, 12, 9, 0, tzinfo=UTC)
TICK = timedelta(microseconds=1)


@pytest.mark.parametrize(
    ("now", "key"),
    [(UNTIL - TICK, "vet"), (UNTIL, "leisure"), (UNTIL + TICK, "leisure"), (None, "vet")],
)
def test_a_vets_band_stands_until_its_very_instant(now: datetime | None, key: str) -> None:
    facts = band.Facts("horse", "leisure", born_earliest=GROWN, override=band.Override(5, 7, UNTIL))
    found = band.band(facts, APRIL, now=now)
    assert found.key == key
    by_vet = halves("2.5", "3.5")
    assert (found.low, found.high) == (by_vet if key == "vet" else halves("2", "3"))
    assert found.low + band.INSIDE <= found.aim <= found.high - band.INSIDE


def test_a_vets_band_is_on_the_usual_scale_only() -> None:
    facts = band.Facts("horse", "leisure", override=band.Override(5, 7, UNTIL))
    found = band.band(facts, APRIL, "nine", UNTIL - TICK)
    assert (found.key, found.low, found.high) == ("leisure", Decimal(4), Decimal(6))


def test_every_row_has_a_source_a_confidence_and_room_for_its_aim() -> None:
    rows = fixture.load("bands")["rows"]
    assert {row["confidence"] for row in rows} <= {"read", "secondary", "memory"}
    for row in rows:
        assert row["source"]
        assert Decimal(row["high"]) - Decimal(row["low"]) >= band.NARROWEST
    both = [row["class"] for row in rows if row["class"] != "donkey"]
    assert sorted(set(both)) == sorted(both[::2]) == sorted(both[1::2])


SPRING = {"spring_first": "03-01", "spring_last": "05-31"}


def test_a_band_says_where_it_comes_from_and_what_moved_it() -> None:
    found = band.band(LEISURE, date(2026, 11, 30))
    assert "charity charts" in found.source
    assert found.confidence == "memory"
    assert [tuple(each) for each in found.why] == [
        ("band_leisure", {}),
        ("band_aim_fuller", {"season": "autumn", "points": "0.25", **SPRING}),
    ]
    by_vet = band.band(band.Facts("horse", "leisure", override=band.Override(5, 7, UNTIL)), APRIL)
    assert (by_vet.source, by_vet.confidence, by_vet.why[0].key) == ("vet", "vet", "band_vet")


@pytest.mark.parametrize(
    ("facts", "why"),
    [
        (band.Facts("horse", "leisure"), ["band_leisure", "band_birth_unknown"]),
        (
            band.Facts(
                "horse", "leisure", born_earliest=date(2022, 1, 1), born_latest=date(2022, 12, 31)
            ),
            ["band_leisure", "band_birth_by_year"],
        ),
        (band.Facts("horse", "leisure", born_earliest=OLD), ["band_aged"]),
        (band.Facts("horse", "athlete", born_earliest=GROWN), ["band_athlete"]),
        (band.Facts("horse", "athlete", born_earliest=date(2024, 5, 1)), ["band_growing"]),
        (band.Facts("horse", "youngster", born_earliest=GROWN), ["band_youngster"]),
        (band.Facts("horse", "stallion", born_earliest=GROWN), ["band_stallion"]),
        (band.Facts("horse", "broodmare", born_earliest=GROWN), ["band_broodmare"]),
        (band.Facts("donkey", "companion"), ["band_donkey"]),
    ],
)
def test_why_names_what_chose_the_edges(facts: band.Facts, why: list[str]) -> None:
    found = band.band(facts, APRIL)
    assert [each.key for each in found.why if not each.key.startswith("band_aim")] == why


@pytest.mark.parametrize(
    ("halves_felt", "place"), [(3, "below"), (4, "within"), (6, "within"), (7, "above")]
)
def test_the_place_is_by_the_nearest_half(halves_felt: int, place: str) -> None:
    assert band.place(halves_felt, band.band(LEISURE, APRIL)) == place


@pytest.mark.parametrize(
    ("halves_felt", "place"), [(7, "below"), (8, "within"), (12, "within"), (13, "above")]
)
def test_the_place_on_the_nine_scale(halves_felt: int, place: str) -> None:
    assert band.place(halves_felt, band.band(LEISURE, APRIL, "nine")) == place
