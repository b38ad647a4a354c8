"""Scoring on a page: the answer, the faults by name, and nothing that anchors the hand."""

import html
import re
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

import pytest
import uuid_utils.compat as uuid_utils
from django.test import Client

from scoring.actions import assessments
from scoring.models import Assessment
from tests import cast, readings
from tests.outside import COMMON_PRACTICE, outside

SignIn = Callable[[str], Client]
TEASEL = f"/horses/{cast.ref('Teasel')}/score/"
SORREL = f"/horses/{cast.ref('Sorrel Lad')}/score/"
ROUND = f"/round/{cast.ref('Top Barn')}/"


def sheet(**changes: Any) -> dict[str, Any]:
    at = datetime.now(UTC).astimezone(ZoneInfo("Europe/London")) - timedelta(minutes=3)
    return {
        "id": str(uuid_utils.uuid7()),
        "scale": "five",
        "manner": "palpated",
        "taken_at": at.strftime("%Y-%m-%dT%H:%M"),
        "regions.neck_and_shoulder": "3.5",
        "regions.back_and_ribs": "5.0",
        "regions.hindquarters": "4.0",
        "note": "Stood well.",
        **changes,
    }


def test_an_assessor_scores_a_horse_and_reads_what_it_came_to(signed_in: SignIn) -> None:
    client = signed_in("maud")
    assert client.get(TEASEL).status_code == 200
    sent = sheet()
    answer = client.post(TEASEL, sent)
    assert answer.status_code == 303
    assert answer.headers["Location"] == f"/assessments/{sent['id']}/"
    page = client.get(answer.headers["Location"]).content.decode()
    assert "4.17" in page
    assert "above target band" in page
    assert "Nearest half 4, above the target band 2 to 3." in page
    assert "Saved in Halfpoint." in page
    assert "Stood well." in page
    # Nobody has to guess whether a rule looked, or whether anybody looked for danger signs.
    assert ("No rule found a danger" in page) != ("The rules found what stands above" in page)
    assert "Not answered" in page
    assert "Stood well." in client.get(f"/horses/{cast.ref('Teasel')}/").content.decode()
    # Sent twice by an impatient thumb, it is one row and the same answer.
    assert client.post(TEASEL, sent).headers["Location"] == answer.headers["Location"]


def test_after_saving_the_action_comes_first_then_the_next_horse_then_the_rest(
    signed_in: SignIn,
) -> None:
    client = signed_in("maud")
    fat = {**sheet(), "fat_pocket": "marked", "regions.back_and_ribs": "4.5"}
    where = client.post(TEASEL, fat).headers["Location"]
    page = html.unescape(client.get(where).content.decode())
    order = (
        "Saved in Halfpoint.",
        '<p class="do">',
        "Phone Ferrow Vets",
        "Next: Sorrel Lad",
        "1 of 2 done today",
        'class="big"',
        "4½ felt, +½ for the marked pocket = 5 counted.",
        "What the alert rests on",
    )
    places = [page.find(each) for each in order]
    assert -1 not in places, dict(zip(order, places, strict=True))
    assert places == sorted(places), dict(zip(order, places, strict=True))
    assert f'href="/horses/{cast.ref("Sorrel Lad")}/score/">Next' in page
    # One time, and it says of what: when the horse was scored, as on the round.
    at = fat["taken_at"].split("T")[1]
    assert page[: page.index('<p class="do">')].count(at) == 1
    assert f"Scored today at {at} by" in client.get(ROUND).content.decode()
    # To others it is no news, and the walk goes on to whoever is left.
    assert "Next:" not in signed_in("tobias").get(where).content.decode()
    other = client.post(SORREL, sheet()).headers["Location"]
    page = client.get(other).content.decode()
    assert "Next:" not in page
    assert page.index("2 of 2 done today") > page.index(f'href="{ROUND}">Back to the round')


def test_nothing_anchors_the_hand(signed_in: SignIn, inside: Any) -> None:
    now = datetime.now(UTC)
    with inside("tobias") as viewer:
        raw = readings.raw("Teasel", now, "4.5", "4.5", "4.5", danger_signs=["cannot_rise"])
        assessments.record_assessment(viewer, raw, now=now)
    page = signed_in("maud").get(TEASEL).content.decode()
    main = page[page.index("<main") :]
    # Only how it was scored is chosen beforehand.
    assert len(re.findall(r"<input[^>]*\schecked", main)) == 1
    anchors = (
        "4.50",
        "4½",
        "arget band",
        "points above",
        "Tobias",
        "spring",
        "Open alert",
        "Overall",
        "Last",
    )
    # The ruler's own key is the one place that names a score.
    said = re.sub(r'<label class="key">.*?</label>|<option value="[0-9.]+">.*?</option>', "", main)
    for word in anchors:
        assert word not in said, word


# Not asked on the page, so a fault of theirs has no control to stand at.
UNSEEN = {"scale", "id"}
BAD = [
    ("regions.back_and_ribs", "3.25"),
    ("regions.back_and_ribs", "5.5"),
    ("regions.back_and_ribs", "NaN"),
    ("regions.back_and_ribs", "1e400"),
    ("regions.back_and_ribs", "3_0"),
    ("regions.back_and_ribs", "٣"),
    ("regions.back_and_ribs", ""),
    ("regions.back_and_ribs", "9" * 400),
    ("taken_at", "2999-01-01T10:00"),
    ("taken_at", "2013-12-31T10:00"),
    ("taken_at", "yesterday"),
    ("weighing.weight_kg", "heavy"),
    ("note", "a\u0000b"),
    ("scale", "donkey"),
    ("manner", "guessed"),
    ("id", "not-an-id"),
]


@pytest.mark.parametrize(("field", "value"), BAD, ids=[f"{f}={v[:12]!r}" for f, v in BAD])
def test_bad_input_is_refused_by_name_and_the_form_keeps_what_was_typed(
    signed_in: SignIn, inside: Any, field: str, value: str
) -> None:
    client = signed_in("maud")
    sent = sheet(held_by="Jonty Farr", **{field: value})
    if field.startswith("weighing"):
        sent["weighing.method"] = "weigh_tape"
    answer = client.post(TEASEL, sent)
    page = answer.content.decode()
    assert answer.status_code == 422
    assert "Jonty Farr" in page
    assert 'role="alert"' in page
    assert f'id="{field}-fault"' in page or field in UNSEEN
    assert page.count("Everything you typed is still here.") == 1
    with inside("isolde"):
        assert Assessment.objects.count() == 0


def test_who_may_not_score_is_told_so_and_who_may_not_know_is_told_nothing(
    signed_in: SignIn,
) -> None:
    assert signed_in("hollis").get(TEASEL).status_code == 403
    assert signed_in("hollis").post(TEASEL, sheet()).status_code == 403
    assert signed_in("perran").get(TEASEL).status_code == 404
    assert signed_in("maud").get(f"/horses/{cast.ref('Marram')}/score/").status_code == 404
    assert Client().get(TEASEL).headers["Location"].startswith("/accounts/login/")


def test_a_donkey_has_one_ruler_of_its_own(signed_in: SignIn) -> None:
    page = signed_in("maud").get(f"/horses/{cast.ref('Wagtail')}/score/").content.decode()
    assert 'name="overall"' in page
    assert 'name="regions.back_and_ribs"' not in page


@outside(
    "a weigh tape lies close behind the elbow, forward of the girth, at the lowest point of the "
    "withers, at the same hour each time",
    source="people who weigh horses",
    status=COMMON_PRACTICE,
)
def test_the_form_says_where_a_weigh_tape_lies(signed_in: SignIn) -> None:
    """Common practice, no published source: withers, behind the elbow, forward of the girth."""
    said = " ".join(signed_in("maud").get(TEASEL).content.decode().split())
    for place in (
        "lowest point of the withers",
        "close behind the elbow and a little forward of the girth",
        "same hour each time",
    ):
        assert place in said
