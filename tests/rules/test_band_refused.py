"""What no band can be told of: refused by the name of the field, with what would be taken."""

from datetime import UTC, date, datetime
from decimal import Decimal
from typing import Any

import pytest

from scoring.rules import band, checked

LEISURE = band.Facts("horse", "leisure", born_earliest=date(2014, 1, 1))
APRIL = date(2026, 4, 12)
UNTIL = datetime(2026, 4, 12, 9, 0, tzinfo=UTC)


@pytest.mark.parametrize(
    ("given", "field"),
    [
        ({"species": "zebra"}, "species"),
        ({"use": "riding"}, "use"),
        ({"hemisphere": "mars"}, "hemisphere"),
        ({"hemisphere": "North"}, "hemisphere"),
        ({"breeding": "perhaps"}, "breeding"),
    ],
)
def test_what_is_none_of_its_list_is_refused_by_name(given: dict[str, Any], field: str) -> None:
    with pytest.raises(checked.OutOfRange) as caught:
        band.Facts(**{"species": "horse", "use": "leisure", **given})
    assert caught.value.field == field
    assert caught.value.allowed.startswith("one of ")


@pytest.mark.parametrize(("low", "high"), [(4, 1), (3, 3), (-1, 4)])
def test_a_vets_band_has_its_edges_the_right_way_round(low: int, high: int) -> None:
    with pytest.raises(checked.OutOfRange, match="override: a high edge over a low one"):
        band.Override(low, high, UNTIL)


def test_a_vets_band_lies_on_the_scale_it_is_given_on() -> None:
    facts = band.Facts("horse", "leisure", override=band.Override(5, 11, UNTIL))
    with pytest.raises(checked.OutOfRange, match="override: 0 to 10 half points"):
        band.band(facts, APRIL)
    donkey = band.Facts("donkey", "leisure", override=band.Override(1, 5, UNTIL))
    with pytest.raises(checked.OutOfRange, match="override: 2 to 10 half points"):
        band.band(donkey, APRIL)


def test_an_instant_names_its_zone() -> None:
    naive = UNTIL.replace(tzinfo=None)
    with pytest.raises(checked.OutOfRange, match="until: an instant with its zone"):
        band.Override(5, 7, naive)
    with pytest.raises(checked.OutOfRange, match="now: an instant with its zone"):
        band.band(LEISURE, APRIL, now=naive)


@pytest.mark.parametrize("on", [date.min, date(9999, 1, 1), date.max])
def test_a_day_at_the_end_of_the_calendar_has_no_band(on: date) -> None:
    with pytest.raises(checked.OutOfRange, match="on: a day of the years 2 to 9998"):
        band.band(LEISURE, on)


def test_the_last_day_of_all_has_a_band() -> None:
    found = band.band(band.Facts("horse", "leisure"), date(9998, 12, 30))
    assert (found.key, found.low) == ("leisure", Decimal(2))
