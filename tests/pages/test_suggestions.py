"""What findings suggest, on pages without a script: only where something was chosen."""

import json
import re
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from html import unescape
from typing import Any

import pytest
from django.test import Client

from scoring.rules import keys, scale
from tests import cast
from tests.doors.scene import sheet
from yards.rules import fixture

SignIn = Callable[[str], Client]
TEASEL = f"/horses/{cast.ref('Teasel')}/score/"
WAGTAIL = f"/horses/{cast.ref('Wagtail')}/score/"
FOUND = {"findings.ribs": "firm_pressure", "findings.spine": "nearly_flat"}
SAID = "Suggests about 4 to 4½."
NEAR = "4: groove begins, ribs by pressing. 5: deep groove, ribs not found."


def suggestions(page: str) -> dict[str, str]:
    """What each place's output says."""
    told = re.findall(r'<output class="suggested" data-suggests="(\w+)"[^>]*>(.*?)</output>', page)
    return {place: unescape(text) for place, text in told}


def filled(**changes: Any) -> dict[str, Any]:
    return {**sheet(), **FOUND, **changes}


def text(page: str) -> str:
    return unescape(re.sub(r"\s+", " ", re.sub(r"<[^>]+>", "", page)))


def test_a_new_form_suggests_nothing(signed_in: SignIn) -> None:
    page = signed_in("maud").get(TEASEL).content.decode()
    assert suggestions(page) == dict.fromkeys(scale.REGIONS, "")
    assert suggestions(signed_in("maud").get(WAGTAIL).content.decode()) == {"overall": ""}


def test_a_form_that_comes_back_says_it_only_where_something_was_chosen(signed_in: SignIn) -> None:
    unscored = {"regions.hindquarters": "", "regions.back_and_ribs": ""}
    answer = signed_in("maud").post(TEASEL, filled(**unscored))
    assert answer.status_code == 422
    assert suggestions(answer.content.decode()) == {
        "neck_and_shoulder": "",
        "back_and_ribs": f"{SAID} {NEAR}",
        "hindquarters": "",
    }


def test_of_several_findings_the_first_is_said_to_be_narrowed_by_the_next(
    signed_in: SignIn,
) -> None:
    unscored = {"regions.hindquarters": "", "regions.back_and_ribs": ""}
    sent = filled(**unscored, **{"findings.spine": ""})
    page = signed_in("maud").post(TEASEL, sent).content.decode()
    assert suggestions(page)["back_and_ribs"] == ("One so far. Suggests about 4 to 4½.")


def test_a_chosen_score_is_said_to_be_what_is_recorded_and_what_it_counts(
    signed_in: SignIn,
) -> None:
    chosen = {"regions.back_and_ribs": "3.0", "fat_pocket": "marked", "regions.hindquarters": ""}
    page = signed_in("maud").post(TEASEL, filled(**chosen)).content.decode()
    assert suggestions(page)["back_and_ribs"] == (
        f"Your hand decides: 3 felt, +½ for the marked pocket = 3½ counted. {SAID}"
    )


@pytest.mark.parametrize("bad", [{"findings.ribs": "purple"}, {"fat_pocket": "enormous"}])
def test_a_form_that_makes_no_sense_still_comes_back(
    signed_in: SignIn, bad: dict[str, str]
) -> None:
    answer = signed_in("maud").post(TEASEL, filled(**bad))
    assert answer.status_code == 422
    assert suggestions(answer.content.decode())["neck_and_shoulder"] == ""


def test_the_answer_says_it_with_its_reasons_beside_the_score(signed_in: SignIn) -> None:
    client = signed_in("maud")
    answer = client.post(TEASEL, filled(**{"findings.hip_bones": "stand_out"}))
    page = client.get(answer.headers["Location"]).content.decode()
    told = text(page)
    assert "What the findings suggested" in told
    assert SAID in told
    assert "ribs felt only by pressing: 4 to 4½" in told
    assert "back nearly flat: 3 to 4½" in told
    assert "Hip bones stand out: one thing seen is too little to suggest a score." in told
    # The hand's 3½ stands.
    assert re.search(r"Back and ribs</dt><dd><b>3½</b>", page)


def test_an_answer_without_findings_says_nothing_of_suggestions(signed_in: SignIn) -> None:
    client = signed_in("maud")
    answer = client.post(TEASEL, sheet())
    assert "findings suggested" not in client.get(answer.headers["Location"]).content.decode()


def test_the_answer_says_roughly_where_it_lies_and_that_it_is_only_roughly(
    signed_in: SignIn,
) -> None:
    client = signed_in("maud")
    answer = client.post(TEASEL, sheet())
    told = text(client.get(answer.headers["Location"]).content.decode())
    assert "On the scale of 1 to 9 roughly 5 to 6, by description only: nothing goes by it." in told
    nine = {"scale": "nine", "overall": "4.5", "manner": "palpated"}
    sent = {**nine, "taken_at": sheet()["taken_at"]}
    answer = client.post(f"{TEASEL}?scale=nine", sent)
    told = text(client.get(answer.headers["Location"]).content.decode())
    assert "On the scale of 0 to 5 roughly 2½, by description only" in told
    at = datetime.now(UTC) - timedelta(hours=1)
    donkey = {"scale": "donkey", "overall": "3.0", "taken_at": f"{at:%Y-%m-%dT%H:%M}"}
    answer = client.post(WAGTAIL, {**donkey, "manner": "palpated"})
    told = text(client.get(answer.headers["Location"]).content.decode())
    assert "roughly" not in told
    assert "Pelvis-led" not in told


def test_the_page_carries_what_a_script_needs_and_no_more(signed_in: SignIn) -> None:
    page = signed_in("maud").get(TEASEL).content.decode()
    tag = re.search(r"<form[^>]*data-score[^>]*>", page)
    assert tag is not None
    held = {
        name: json.loads(value)
        for name, value in re.findall(r"data-(findings|reasons)='([^']*)'", tag[0])
    }
    said = {*keys.SUGGESTION, *keys.CHOSEN, "suggest_first"} - {"suggest_noted"}
    assert set(held["reasons"]) == said
    whole = fixture.load("findings")
    assert held["findings"]["by_scale"] == {"five": whole["by_scale"]["five"]}
    for name, mark in held["findings"]["landmarks"].items():
        for row, full in zip(mark["values"], whole["landmarks"][name]["values"], strict=True):
            assert row["goes_with"] == {"five": full["goes_with"]["five"]}
            assert (row["value"], row["sense"]) == (full["value"], full["sense"])


@pytest.mark.parametrize("path", [TEASEL, f"{TEASEL}?scale=nine", WAGTAIL])
def test_every_level_is_told_at_every_landmark(signed_in: SignIn, path: str) -> None:
    page = text(signed_in("maud").get(path).content.decode())
    key = "donkey" if path == WAGTAIL else "nine" if "nine" in path else "five"
    rows = fixture.load("scales")["scales"]
    for level in (*rows[key]["levels"], *rows["crest"]["levels"]):
        for texts in level.get("regions", {"whole": level.get("whole")}).values():
            assert all(each in page for each in texts.values())
