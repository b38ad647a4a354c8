"""Wherever a season is told of a yard, that yard's own spring is told with it."""

from collections.abc import Callable
from datetime import date
from typing import Any

import pytest
from django.test import Client

from scoring.queries import season_words, wording
from scoring.rules import band
from tests import cast
from tests.outside import EXACT, outside
from tests.pages.test_visit import words
from yards.models import Yard
from yards.queries import yards
from yards.rules import seasons

SignIn = Callable[[str], Client]


@outside(
    "meteorological spring of the south: 1 September to 30 November",
    source="Met Office, meteorological seasons, six months apart",
    status=EXACT,
)
def test_a_southern_band_says_its_own_spring() -> None:
    facts = band.Facts("horse", "leisure", hemisphere="south")
    said = wording.say(*band.band(facts, date(2026, 10, 1)).why[-1])
    assert "It is spring at this yard, whose spring is 1 Sep to 30 Nov: aim" in said


def test_a_yards_own_spring_is_the_one_that_is_said() -> None:
    own = seasons.Spring("02-29", "06-15")
    assert season_words.days("north", own) == "29 Feb to 15 Jun"
    assert season_words.days("none", own) == "29 Feb to 15 Jun"
    assert season_words.days("none", None) == ""


def test_days_that_no_hemisphere_has_are_said_to_be_the_yards_own(inside: Any) -> None:
    """Else a spring from October on in the north reads like a mistake."""
    autumn = {"spring_first": "10-27", "spring_last": "01-25"}
    said = wording.say("risk_spring", autumn)
    assert said == "It is spring in this yard: 27 Oct to 25 Jan, set by the yard itself."
    with inside("isolde") as viewer:
        Yard.objects.filter(ref=cast.ref("Top Barn")).update(**autumn)
        told = season_words.springs(yards.all_yards(viewer))
    assert "Top Barn 27 Oct to 25 Jan, set by the yard itself" in told
    assert told.count("set by") == 1


@pytest.mark.parametrize("path", ["/rules/fat_in_spring/", "/herd/seasons/"])
def test_pages_that_tell_of_spring_say_when_it_is(
    signed_in: SignIn, inside: Any, path: str
) -> None:
    client = signed_in("isolde")
    assert "Spring at these yards: 1 Mar to 31 May." in words(client, path)
    with inside("isolde") as viewer:
        Yard.objects.filter(ref=cast.ref("Top Barn")).update(hemisphere="south")
        Yard.objects.filter(ref=cast.ref("Sallow Field")).update(hemisphere="none")
        said = season_words.springs(yards.all_yards(viewer))
    assert "Top Barn 1 Sep to 30 Nov" in said
    assert "Sallow Field none" in said
    assert said in words(client, path)


def test_an_alert_of_before_is_still_said_and_one_of_now_with_its_days() -> None:
    days = {"spring_first": "09-01", "spring_last": "11-30"}
    for key, more in (("risk_spring", {}), ("yard_is_in_spring", {"years": "2026"})):
        assert "30 Nov" not in wording.say(key, more)
        assert "1 Sep to 30 Nov" in wording.say(key, more | days)
