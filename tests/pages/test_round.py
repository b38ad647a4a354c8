"""The round on pages, with no script at all: which yard, from horse to horse, in which order."""

import html
import re
from collections.abc import Callable
from datetime import datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

import pytest
from django.test import Client

from tests import cast
from tests.api.asking import Asker
from tests.doors.scene import FAT, ago, assessment, sheet, weighing
from yards.models import Entry

SignIn = Callable[[str], Client]
ROUND = f"/round/{cast.ref('Top Barn')}/"
ORDER = f"{ROUND}order/"
TEASEL, SORREL = str(cast.ref("Teasel")), str(cast.ref("Sorrel Lad"))


def text(client: Client, path: str) -> str:
    answer = client.get(path)
    assert answer.status_code == 200, path
    return html.unescape(answer.content.decode())


def walked(page: str) -> list[str]:
    """The horses of a walk, in the order that they stand in."""
    return re.findall(r'<li data-horse="[^"]+".*?<h2><bdi>([^<]+)</bdi></h2>', page, re.DOTALL)


def ordered(client: Client, **fields: Any) -> Any:
    return client.post(ORDER, {"version": "1", **fields})


def test_the_round_is_in_the_navigation_of_whoever_records(signed_in: SignIn) -> None:
    for caller in ("isolde", "maud", "tobias", "keziah"):
        assert 'href="/round/"' in text(signed_in(caller), "/")
    assert 'href="/round/"' not in text(signed_in("hollis"), "/")


def test_the_yards_of_a_grant_are_listed_with_what_waits_there(signed_in: SignIn) -> None:
    page = text(signed_in("maud"), "/round/")
    assert f'href="{ROUND}"' in page
    assert "Sallow Field" in page
    assert "Nether Paddocks" not in page
    assert page.count("2 horses, 2 due or overdue") == 2
    Asker("isolde").post("assessments/", assessment(TEASEL))
    Asker("isolde").post("weighings/", weighing(TEASEL))
    assert "2 horses, 1 due or overdue" in text(signed_in("maud"), "/round/")


def test_each_horse_of_a_yard_leads_to_its_scoring_page(signed_in: SignIn) -> None:
    page = text(signed_in("maud"), ROUND)
    assert walked(page) == ["Sorrel Lad", "Teasel"]
    for ref in (TEASEL, SORREL):
        assert f'href="/horses/{ref}/score/"' in page
    assert f'data-yard="{cast.ref("Top Barn")}"' in page
    assert f'href="/horses/add/?yard={cast.ref("Top Barn")}"' in page
    assert f'href="{ORDER}"' in page
    assert 'href="tel:01632960118"' in page
    for said in ("A second person holds", "Stand at the shoulder", "Stop if"):
        assert said in page


def test_those_that_are_due_come_first_when_asked_for(signed_in: SignIn) -> None:
    for sent in (("assessments/", assessment(SORREL)), ("weighings/", weighing(SORREL))):
        assert Asker("isolde").post(*sent).status_code == 201
    client = signed_in("maud")
    assert walked(text(client, ROUND)) == ["Sorrel Lad", "Teasel"]
    page = text(client, f"{ROUND}?first=due")
    assert walked(page) == ["Teasel", "Sorrel Lad"]
    assert 'href="?first=due" aria-current="true"' in page
    # The walk is the same, so each keeps its number.
    assert re.findall(r'class="at" aria-hidden="true">(\d)', page) == ["2", "1"]
    assert f'href="/horses/{TEASEL}/score/?first=due"' in page
    scoring = text(client, f"/horses/{TEASEL}/score/?first=due")
    assert f'href="{ROUND}?first=due" aria-label="Back to the round"' in scoring


def test_the_walk_goes_on_in_the_order_that_it_was_opened_in_and_says_why(
    signed_in: SignIn,
) -> None:
    third = {"name": "Milkwort", "yard": str(cast.ref("Top Barn")), "species": "horse"}
    milkwort = Asker("isolde").post("horses/", third).json()["id"]
    # Yesterday, so that Teasel is neither due nor done today.
    yesterday = {"taken_at": ago(days=1, hours=1)}
    for sent in (("assessments/", assessment(TEASEL)), ("weighings/", weighing(TEASEL))):
        assert Asker("isolde").post(sent[0], {**sent[1], **yesterday}).status_code == 201
    client = signed_in("maud")
    assert "Next score by" in text(client, ROUND).split(f'data-horse="{TEASEL}"')[1]
    for query, horse, said in (
        ("?first=due", milkwort, "Next: Milkwort, due today</a>"),
        ("", TEASEL, "Next: Teasel</a>"),
    ):
        answer = client.post(f"/horses/{SORREL}/score/{query}", sheet())
        where = answer.headers["Location"]
        assert where.partition("?")[2] == query.removeprefix("?")
        page = re.sub("[\u2068\u2069]", "", text(client, where))
        assert f'href="/horses/{horse}/score/{query}">{said}' in page
        assert f'href="{ROUND}{query}">Back to the round</a>' in page
    # What is done can be read again.
    row = text(client, ROUND).split(f'data-horse="{SORREL}"')[1].split("</li>")[0]
    assert f'href="/horses/{SORREL}/">Read' in row


def test_a_horse_that_was_scored_today_says_when_and_by_whom(signed_in: SignIn) -> None:
    sent = assessment(TEASEL, taken_at=ago(seconds=2))
    assert Asker("tobias").post("assessments/", sent).status_code == 201
    page = text(signed_in("maud"), ROUND)
    at = datetime.fromisoformat(sent["taken_at"]).astimezone(ZoneInfo("Europe/London"))
    said = f'<p class="entered"><b>Done.</b> <span>Scored today at {at:%H:%M} by Tobias Wren</span>'
    assert page.count("Scored today at") == 2
    assert "<b data-done>1 of 2 done today</b>, 2 due or overdue" in page
    assert (page.count('class="done"'), page.count(">Score again<")) == (1, 1)
    assert said in page.split(f'data-horse="{TEASEL}"')[1]
    # Of yesterday, and what was not safe to palpate, it is told otherwise.
    earlier = {**assessment(SORREL), "taken_at": (at - timedelta(days=1)).isoformat()}
    assert Asker("tobias").post("assessments/", earlier).status_code == 201
    assert text(signed_in("maud"), ROUND).count("Scored today at") == 2
    nothing = dict.fromkeys(sent["regions"])
    felt = {"regions": nothing, "not_safe": [*nothing], "taken_at": ago(seconds=1)}
    unsafe = assessment(SORREL, **felt)
    assert Asker("tobias").post("assessments/", unsafe).status_code == 201
    page = text(signed_in("maud"), ROUND)
    assert "Not safe to touch today at" in page
    # A full answer, so it is done too; and whoever is done is not offered like whoever is not.
    assert "<b data-done>2 of 2 done today</b>" in page
    assert (page.count('class="done"'), page.count(">Score again<")) == (2, 2)


def test_nothing_on_the_walk_anchors_the_hand(signed_in: SignIn) -> None:
    client = signed_in("maud")
    sent = assessment(TEASEL, regions=FAT, danger_signs=["not_eating"])
    assert Asker("isolde").post("assessments/", sent).status_code == 201
    page = text(client, ROUND)
    for anchor in ("4.17", "target band", "bove", "fat in spring", "scoring/alerts", "/alerts/"):
        assert anchor not in page.replace('href="/alerts/"', ""), anchor


def test_a_caution_is_said_on_the_walk_and_above_the_scoring_page(signed_in: SignIn) -> None:
    client = signed_in("maud")
    path = f"/horses/{TEASEL}/handling/"
    assert 'name="version" value="1"' in text(client, path)
    note = "Kicks <b>hard</b>.\nTwo people."
    sent = client.post(path, {"handling": note, "version": "1"})
    assert (sent.status_code, sent["Location"]) == (303, f"/horses/{TEASEL}/")
    for page in (ROUND, f"/horses/{TEASEL}/score/", f"/horses/{TEASEL}/"):
        shown = client.get(page).content.decode()
        assert "Kicks &lt;b&gt;hard&lt;/b&gt;.<br>Two people." in shown, page
    stale = client.post(path, {"handling": "Gentle", "version": "1"})
    assert stale.status_code == 409
    assert "Gentle" in stale.content.decode()
    taken_back = client.post(path, {"handling": "", "version": "2"})
    assert taken_back.status_code == 303
    assert "Kicks" not in text(client, ROUND)


def test_a_mare_with_her_foal_is_marked(signed_in: SignIn) -> None:
    tansy = cast.ref("Tansy")
    foaled = {"kind": "foaled", "at": "2026-04-12T09:40:00Z"}
    assert Asker("isolde").post(f"horses/{tansy}/events/", foaled).status_code == 201
    page = text(signed_in("maud"), f"/round/{cast.ref('Sallow Field')}/")
    assert page.count("Do not palpate a mare with her foal at foot.") == 1


def test_an_order_is_typed_in_numbers(signed_in: SignIn, inside: Any) -> None:
    client = signed_in("maud")
    page = text(client, ORDER)
    assert f'name="place.{SORREL}" id="place.{SORREL}" value="1"' in page
    assert page.count("no place yet") == 2
    sent = ordered(client, **{f"place.{SORREL}": "1", f"place.{TEASEL}": "1"})
    assert (sent.status_code, sent["Location"]) == (303, ROUND)
    assert walked(text(client, ROUND)) == ["Teasel", "Sorrel Lad"]
    assert "no place yet" not in text(client, ORDER)
    with inside("isolde"):
        assert Entry.objects.filter(verb="yard.walk_ordered").count() == 1


def test_an_order_is_changed_step_by_step(signed_in: SignIn) -> None:
    client = signed_in("maud")
    sent = ordered(client, up=TEASEL)
    assert (sent.status_code, sent["Location"]) == (303, f"{ORDER}?up={TEASEL}")
    assert walked(text(client, ROUND)) == ["Teasel", "Sorrel Lad"]
    assert ordered(client, down=TEASEL, version="2").status_code == 303
    assert walked(text(client, ROUND)) == ["Sorrel Lad", "Teasel"]


def held_on_to(page: str) -> list[tuple[str, str]]:
    """The buttons that a page puts the focus on, each with its horse."""
    found = re.findall(r'<button[^>]*name="(up|down)" value="([^"]+)"[^>]*>', page)
    tags = re.findall(r'<button[^>]*name="(?:up|down)"[^>]*>', page)
    return [each for each, tag in zip(found, tags, strict=True) if "autofocus" in tag]


def test_after_a_step_its_button_is_held_on_to_while_it_leads_on(signed_in: SignIn) -> None:
    client = signed_in("maud")
    third = {"name": "Yarrow", "yard": str(cast.ref("Top Barn")), "species": "horse"}
    yarrow = Asker("isolde").post("horses/", third).json()["id"]
    assert held_on_to(text(client, ORDER)) == []
    one = ordered(client, up=yarrow)
    assert held_on_to(text(client, one["Location"])) == [("up", yarrow)]
    two = ordered(client, up=yarrow, version="2")
    assert held_on_to(text(client, two["Location"])) == [("down", yarrow)], "it is the first now"
    back = ordered(client, down=yarrow, version="3")
    assert held_on_to(text(client, back["Location"])) == [("down", yarrow)]


def test_pressing_enter_in_a_number_saves_and_moves_nobody(signed_in: SignIn) -> None:
    """HTML 4.10.21.2: Enter presses the form's first submit button."""
    page = text(signed_in("maud"), ORDER)
    form = page[page.index('<form class="panel ordering"') :]
    first = re.search(r'<button[^>]*type="submit"[^>]*>', form)
    assert first is not None
    assert "name=" not in first[0]


@pytest.mark.parametrize("typed", ["0", "-1", "one", "1.5", "٣", "99999999"])
def test_a_place_that_is_none_comes_back_with_what_was_typed(signed_in: SignIn, typed: str) -> None:
    answer = ordered(signed_in("maud"), **{f"place.{TEASEL}": typed})
    page = answer.content.decode()
    assert answer.status_code == 422
    assert f'href="#place.{TEASEL}"' in page
    assert f'value="{typed}" aria-invalid="true"' in page


def test_a_stale_order_comes_back_as_it_stands_now(signed_in: SignIn) -> None:
    client = signed_in("maud")
    ordered(client, up=TEASEL)
    stale = ordered(client, **{f"place.{TEASEL}": "2"})
    page = stale.content.decode()
    assert stale.status_code == 409
    assert "Somebody changed this meanwhile" in page
    assert f'name="place.{TEASEL}" id="place.{TEASEL}" value="1"' in page
    assert 'name="version" value="2"' in page


def test_a_coordinator_finds_the_note_in_the_horses_facts(signed_in: SignIn) -> None:
    client, path = signed_in("isolde"), f"/horses/{TEASEL}/facts/"
    page = text(client, path)
    assert 'name="handling"' in page
    sent = {"name": "Teasel", "species": "horse", "handling": "Head-shy", "version": "1"}
    assert client.post(path, sent).status_code == 303
    assert "Head-shy" in text(client, path)
    assert 'name="handling"' in text(signed_in("maud"), "/horses/add/")
