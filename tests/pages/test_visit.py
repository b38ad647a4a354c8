"""The vet's visit and what is written on it, as a browser without scripts has them."""

import re
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from html import unescape
from typing import Any

import pytest
from django.test import Client

from scoring.actions import assessments, questions, vet_orders
from tests import cast, readings
from tests.pages.test_horse_pages import text
from yards.models import Horse, Yard

SignIn = Callable[[str], Client]
TEASEL, TANSY = f"/horses/{cast.ref('Teasel')}/", f"/horses/{cast.ref('Tansy')}/"
DAY = timedelta(days=1)
ASKED = {"text": "May she be clipped before the frost?"}


def words(client: Client, path: str) -> str:
    """A page's text, one blank between words."""
    return re.sub(r"\s+", " ", unescape(re.sub(r"<[^>]+>", " ", text(client, path))))


def score(inside: Any, days: int, half: str, key: str = "maud", **facts: Any) -> Any:
    at = datetime.now(UTC) - days * DAY
    with inside(key) as viewer:
        raw = readings.raw("Teasel", at, half, half, half, **facts)
        return assessments.record_assessment(viewer, raw, now=at)


def on(days: int) -> str:
    """A day as the pages write it."""
    then = datetime.now(UTC) - days * DAY
    return f"{then.day} {then:%b %Y}"


def test_a_vet_finds_it_in_the_bar_and_others_do_not(signed_in: SignIn) -> None:
    for key in ("keziah", "isolde"):
        assert 'href="/visit/"' in text(signed_in(key), "/")
    for key in ("maud", "hollis"):
        client = signed_in(key)
        assert 'href="/visit/"' not in text(client, "/")
        assert client.get("/visit/").status_code == 403


def test_a_horse_is_listed_with_why_and_how_it_stands(signed_in: SignIn, inside: Any) -> None:
    score(inside, 9, "3.5", danger_signs=["not_eating"])
    page = words(signed_in("keziah"), "/visit/")
    assert "A vet is needed now" in page
    assert "Danger signs" in page
    assert f"3.50 on {on(9)}" in page
    assert "01632 960118" in page
    assert "Estimate: not for drug doses without the vet." in page
    assert "A condition score describes fat cover. It is not a diagnosis." in page
    assert "No visit on record before today" in page


def test_a_level_that_may_have_stood_still_is_never_a_difference(
    signed_in: SignIn, inside: Any
) -> None:
    for days, half in ((60, "3"), (46, "3.5"), (32, "3"), (18, "3.5"), (4, "3")):
        score(inside, days, half)
    page = words(signed_in("keziah"), "/visit/")
    assert re.search(
        r"Score about level: 80% range \d\.\d\d points down to \d\.\d\d points up", page
    )
    assert "points down, 80%" not in page
    assert "points up, 80%" not in page


def test_a_fall_is_told_with_its_range(signed_in: SignIn, inside: Any) -> None:
    halves = ("4.5", "4.5", "4", "3.5", "3", "2.5", "2")
    for place, half in enumerate(halves):
        score(inside, 90 - 14 * place, half)
    since = (datetime.now(UTC) - 80 * DAY).date().isoformat()
    page = words(signed_in("keziah"), f"/visit/?since={since}")
    assert re.search(
        r"Score \d\.\d\d points down, 80% range \d\.\d\d points to \d\.\d\d points", page
    )
    assert "as asked" in page


@pytest.mark.parametrize(
    ("since", "said"),
    [
        ("2099-01-01", "This lies in the future"),
        ("yesterday", "Give a day as year-month-day"),
        ("2001-01-01", "Give a day within the last 730 days"),
    ],
)
def test_a_day_that_is_none_is_refused_beside_its_field(
    signed_in: SignIn, since: str, said: str
) -> None:
    answer = signed_in("keziah").get(f"/visit/?since={since}")
    assert answer.status_code == 422
    page = answer.content.decode()
    assert said in page
    assert 'aria-describedby="since-fault"' in page
    assert "No visit on record before today" in page, "the list is shown all the same"


def test_a_place_in_the_list_that_is_none_is_not_found(signed_in: SignIn) -> None:
    client = signed_in("keziah")
    for asked in ("after=nowhere", "after=decide.1", "yard=1", f"yard={cast.ref('Gorse')}"):
        assert client.get(f"/visit/?{asked}").status_code == 404


def test_a_question_goes_from_the_horse_to_the_visit_and_back(
    signed_in: SignIn, inside: Any
) -> None:
    maud, keziah = signed_in("maud"), signed_in("keziah")
    assert f"{TEASEL}questions/ask/" in text(maud, TEASEL)
    asking = text(maud, f"{TEASEL}questions/ask/")
    assert "ring the vet now" in asking
    assert "01632 960118" in asking
    assert maud.post(f"{TEASEL}questions/ask/", ASKED).status_code == 303
    for page in (text(keziah, "/visit/"), text(maud, TEASEL), text(keziah, TEASEL)):
        assert ASKED["text"] in page
    [answer] = set(re.findall(r"/questions/[0-9a-f-]{36}/answer/", text(keziah, "/visit/")))
    assert "/answer/" not in text(maud, TEASEL)
    assert "/withdraw/" in text(maud, TEASEL)
    assert ASKED["text"] in text(keziah, answer)
    done = keziah.post(answer, {"text": "Yes, from the elbow down."})
    assert done.status_code == 303
    assert done["Location"].startswith(f"{TEASEL}?saved=answer.")
    assert "Yes, from the elbow down." in text(maud, TEASEL)
    assert "Answered by Dr Keziah Orme" in text(maud, TEASEL)
    assert ASKED["text"] not in text(keziah, "/visit/")
    assert keziah.get(answer).status_code == 409
    again = keziah.post(answer, {"text": "No."})
    assert again.status_code == 409
    assert "answered or withdrawn already" in again.content.decode()


def test_a_coordinator_withdraws_a_question(signed_in: SignIn, inside: Any) -> None:
    with inside("maud") as viewer:
        questions.ask(viewer, cast.ref("Teasel"), ASKED, now=datetime.now(UTC))
    isolde = signed_in("isolde")
    [way] = set(re.findall(r"/questions/[0-9a-f-]{36}/withdraw/", text(isolde, TEASEL)))
    bare = isolde.post(way, {"reason": ""})
    assert bare.status_code == 422
    assert isolde.post(way, {"reason": "Rehomed"}).status_code == 303
    page = text(isolde, f"{TEASEL}questions/")
    assert "Withdrawn by Isolde Kerr" in page
    assert 'class="struck"' in page


def ordered(inside: Any, days: int) -> Any:
    now = datetime.now(UTC)
    raw = {
        "band": {"low": "3.0", "high": "3.5"},
        "weight_days": 7,
        "reason": "Feeding up after colic",
        "until": (now + days * DAY).isoformat(),
    }
    with inside("keziah") as viewer:
        return vet_orders.give_vet_order(viewer, cast.ref("Teasel"), raw, now=now)


def test_an_order_is_said_where_it_acts_by_whom_until_when_and_why(
    signed_in: SignIn, inside: Any
) -> None:
    ordered(inside, 40)
    for key in ("maud", "keziah", "hollis"):
        page = words(signed_in(key), TEASEL)
        said = f"Target band 3 to 3½, weigh every 7 days, set by Dr Keziah Orme until {on(-40)}"
        assert said in page
        # Why is a note, and this auditor's grant opens none.
        assert (", because: Feeding up after colic" in page) == (key != "hollis")
        assert ("because:" in page) == (key != "hollis")
        assert "Ends in" not in page
    assert "/end/" not in text(signed_in("maud"), TEASEL)
    shown = text(signed_in("maud"), TEASEL)
    assert re.search(r'<p class="setby">Target band', shown), "no noprint: it is printed too"


def test_one_that_ends_soon_is_seen_on_the_visit_and_ended_early_there(
    signed_in: SignIn, inside: Any
) -> None:
    made = ordered(inside, 5)
    keziah = signed_in("keziah")
    assert "Ends in 5 days" in text(keziah, TEASEL)
    visit = text(keziah, "/visit/")
    assert "Ends in 5 days" in visit
    assert f"/orders/{made.id}/end/" in visit
    assert f"/orders/{made.id}/end/" not in text(signed_in("isolde"), "/visit/")
    assert "Feeding up after colic" in text(keziah, f"/orders/{made.id}/end/")
    done = keziah.post(f"/orders/{made.id}/end/", {"reason": "Fit again"})
    assert done.status_code == 303
    assert done["Location"].startswith(f"{TEASEL}?saved=order_ended.")
    page = words(keziah, TEASEL)
    assert "set by Dr Keziah Orme until" not in page
    assert "Ended early by Dr Keziah Orme" in page
    assert "Fit again" in page
    assert keziah.get(f"/orders/{made.id}/end/").status_code == 409


def test_a_note_is_kept_put_right_and_left_off_the_horses_print(
    signed_in: SignIn, inside: Any
) -> None:
    keziah = signed_in("keziah")
    written = keziah.post(f"{TEASEL}notes/write/", {"text": "Murmur, grade 2.\n\nRecheck."})
    assert written.status_code == 303
    assert written["Location"].startswith(f"{TEASEL}?saved=note.")
    page = text(keziah, TEASEL)
    assert re.search(r'<section class="bit noprint" id="notes"', page)
    assert "Murmur, grade 2.<br><br>Recheck." in page
    [way] = set(re.findall(r"/notes/[0-9a-f-]{36}/correct/", page))
    assert "Murmur, grade 2." in keziah.get(way).context["sent"].values["text"]
    right = {"text": "Murmur, grade 3.", "reason": "Misheard"}
    assert keziah.post(way, right).status_code == 303
    listed = words(signed_in("isolde"), f"{TEASEL}notes/")
    for said in ("Murmur, grade 2.", "Murmur, grade 3.", "Misheard", "Corrected: no longer counts"):
        assert said in listed
    assert "/correct/" not in text(signed_in("isolde"), f"{TEASEL}notes/")
    assert keziah.get(way).status_code == 409
    assert "Clinical note" not in text(signed_in("maud"), TEASEL)
    assert "2 clinical notes" in words(signed_in("isolde"), "/visit/")


def test_names_from_right_to_left_and_long_yards_hold(signed_in: SignIn, inside: Any) -> None:
    with inside("isolde"):
        Horse.objects.filter(ref=cast.ref("Teasel")).update(name="סוסה לבנה")
        Yard.objects.filter(ref=cast.ref("Top Barn")).update(name="The " + "long" * 14)
    score(inside, 2, "3", danger_signs=["not_eating"])
    page = text(signed_in("keziah"), "/visit/")
    assert "<bdi>סוסה לבנה</bdi>" in page
    assert "<bdi>The " + "long" * 14 + "</bdi>" in page


def test_the_print_carries_what_it_is_of_and_when(signed_in: SignIn) -> None:
    page = text(signed_in("keziah"), f"/visit/?yard={cast.ref('Top Barn')}")
    mark = page[page.index('class="sheetmark"') :]
    assert "Quillet Moor Horse Refuge" in mark
    assert "<bdi>Top Barn</bdi>" in mark
    assert "data-printed" in mark
