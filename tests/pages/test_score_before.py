"""Once a score is saved its page says how far it is from the one before; the form never does."""

from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from django.test import Client

from scoring.actions import assessments
from tests import readings
from tests.pages.test_score import TEASEL, sheet

SignIn = Callable[[str], Client]
TOBIAS = "Tobias Wren"


def scored(inside: Any, days: int, back: str, **more: Any) -> None:
    with inside("tobias") as viewer:
        at = datetime.now(UTC) - timedelta(days=days)
        raw = readings.raw("Teasel", at, "3.0", back, "3.0", **more)
        assessments.record_assessment(viewer, raw, now=at)


@pytest.mark.parametrize(
    ("back", "said"),
    [
        ("3.0", f"The same as last time: 3.00 on {{day}}, by {TOBIAS}."),
        ("3.5", f"Up by 0.17 from last time: 3.00 on {{day}}, by {TOBIAS}."),
        ("2.5", f"Down by 0.17 from last time: 3.00 on {{day}}, by {TOBIAS}."),
    ],
)
def test_it_is_held_against_the_last_by_hand(
    signed_in: SignIn, inside: Any, back: str, said: str
) -> None:
    scored(inside, 40, "5.0")
    scored(inside, 20, "3.0")
    scored(inside, 10, "4.0", manner="visual")
    client = signed_in("maud")
    felt = {"regions.neck_and_shoulder": "3.0", "regions.hindquarters": "3.0"}
    assert "last time" not in client.get(TEASEL).content.decode()
    answer = client.post(TEASEL, sheet(**felt, **{"regions.back_and_ribs": back}))
    page = client.get(answer.headers["Location"]).content.decode()
    on = readings.day_here(datetime.now(UTC) - timedelta(days=20))
    assert said.format(day=on) in page
    assert "feel again, or have another hand feel" not in page


def test_of_a_point_and_more_it_is_asked_to_feel_again_and_of_a_first_nothing_is_said(
    signed_in: SignIn, inside: Any
) -> None:
    client = signed_in("maud")
    first = client.post(TEASEL, sheet()).headers["Location"]
    assert "last time" not in client.get(first).content.decode()
    scored(inside, 20, "3.0")
    page = client.get(first).content.decode()
    assert "Up by 1.17 from last time: 3.00" in page
    assert "That is far: feel again, or have another hand feel." in page
