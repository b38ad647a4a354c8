"""One horse, one reading: whatever is pressed twice, gone back from, or lost on the way."""

import contextlib
from collections.abc import Callable
from typing import Any

from playwright.sync_api import Error, Page, expect

from tests import cast
from tests.browser import lossy, scoring, steps
from tests.browser.lossy import REPLY, REQUEST
from tests.browser.phones import SENDING, Phone, ids, kept

TEASEL = str(cast.ref("Teasel"))
SHELL = f"/round/score/five/#{TEASEL}"
PAGE = f"/horses/{TEASEL}/score/"
FLUSH = "({ send }) => send.flushNow()"
ALL = "({ queue }) => queue.all()"


def scored(page: Page, path: str) -> None:
    """Score a horse up to what it comes to."""
    page.goto(path)
    steps.ready(page)
    scoring.score_all(page)
    scoring.to_summary(page)


def test_the_state_line_is_true_in_each_state(
    link: lossy.Link, served: str, phone: Callable[..., Phone]
) -> None:
    held = phone(url=link.url)
    held.page.goto(SENDING)
    said = held.page.locator("[data-said]")
    expect(said).to_be_empty()
    held.offline()
    held.score(TEASEL)
    expect(said).to_have_text("Saved on this phone, waiting to send: 1.")
    link.moving.clear()
    held.offline(False)
    expect(said).to_have_text("Being sent: 1.")
    # What comes in while that is on its way waits, and both are said.
    held.score(TEASEL, crest="9.0")
    expect(said).to_have_text("Being sent: 1. Saved on this phone, waiting to send: 1.")
    assert kept(served) == []
    link.moving.set()
    expect(said).to_have_text("Needs you: 1.")
    held.wait(sent=1, needs_you=1, saved=0, sending=0)
    held.page.get_by_role("button", name="Remove from this phone").click()
    held.page.locator("dialog").get_by_role("button", name="Remove from this phone").click()
    expect(said).to_have_text("Sent: 1.")


def test_a_double_tap_and_going_back_make_one_reading(
    served: str, phone: Callable[..., Phone]
) -> None:
    held = phone()
    held.take("Top Barn")
    held.offline()
    # Left half done, the round says how far it is.
    held.page.goto(f"/round/score/five/#{cast.ref('Sorrel Lad')}")
    steps.ready(held.page)
    scoring.next_step(held.page)
    held.page.goto(f"/round/{cast.ref('Top Barn')}/?first=due")
    expect(held.page.locator("[data-slot=said]")).to_contain_text("Due first")
    expect(held.page.locator("[data-horses]")).to_contain_text("Go on with Sorrel Lad, step 2 of 6")
    scored(held.page, SHELL)
    held.page.dblclick("text=Save score")
    expect(held.page.locator("[data-sum=kept]")).to_contain_text("Saved on this phone")
    held.wait(saved=1)
    held.page.go_back()
    held.page.go_forward()
    expect(held.page.get_by_role("button", name="Save score")).to_be_hidden()
    # Saved once more as after a browser that was killed in between: the same thing, before and
    # after it was sent.
    [item] = held.do(ALL)
    again = {name: item[name] for name in ("kind", "id", "body", "about")}
    held.do("({ queue }, item) => queue.add(item)", again)
    held.wait(saved=1)
    held.offline(False)
    held.do(FLUSH)
    held.wait(saved=0, sent=1)
    held.do("({ queue }, item) => queue.add(item)", again)
    held.wait(saved=0, sent=1)
    assert ids(kept(served)) == [item["id"]]


def test_a_page_whose_connection_went_keeps_its_score_here(
    link: lossy.Link, served: str, phone: Callable[..., Phone]
) -> None:
    held = phone(url=link.url)
    scored(held.page, PAGE)
    link.lose = lambda method, path: REQUEST
    held.page.click("text=Save score", click_count=2)
    expect(held.page.locator("[data-sum=kept]")).to_contain_text("Saved on this phone")
    held.wait(saved=1)
    assert kept(served) == []
    link.lose = lambda method, path: ""
    held.do(FLUSH)
    held.wait(saved=0, sent=1)
    [row] = kept(served)
    assert row["regions"] == {
        "neck_and_shoulder": "3.5",
        "back_and_ribs": "5.0",
        "hindquarters": "4.0",
    }
    # The next one is posted, and the answer to it is lost: it stands there, and here as it was.
    scored(held.page, PAGE)
    fresh = held.page.input_value("[name=id]")
    assert fresh != row["id"]
    link.lose = lambda method, path: REPLY if (method, path) == ("POST", PAGE) else ""
    with contextlib.suppress(Error):  # the browser's own page of it
        held.page.click("text=Save score")
        held.page.wait_for_url("chrome-error://**")
    link.lose = lambda method, path: ""
    held.page = held.opened()
    held.page.goto(PAGE)
    steps.ready(held.page)
    assert held.page.input_value("[name=id]") == fresh
    steps.save(held.page)
    held.page.wait_for_url("**/assessments/*/")
    assert ids(kept(served)) == sorted([row["id"], fresh])


def test_a_draft_that_cannot_be_read_does_not_keep_a_horse_from_being_scored(
    phone: Callable[..., Phone],
) -> None:
    held = phone()
    held.take("Top Barn")
    key = f"score:{cast.ref(cast.QUILLET)}:{cast.ref('maud')}:{TEASEL}"
    for spoilt in ({"values": None}, {"values": {}, "photos": 7}, {"scale": "five", "photos": []}):
        draft: dict[str, Any] = {"horse": TEASEL, "scale": "five", "step": "weight", **spoilt}
        held.do("({ drafts }, key, draft) => drafts.keep(key, draft)", key, draft)
        held.page.goto("/round/")
        held.page.goto(SHELL)
        steps.ready(held.page)
        scoring.at(held.page, "look")
        expect(held.page.locator("[data-brought]")).to_be_hidden()
