"""What a bad link loses is sent again, and nothing is ever there twice."""

import random
from collections.abc import Callable

from playwright.sync_api import expect

from tests import cast
from tests.browser import lossy
from tests.browser.lossy import REPLY, REQUEST
from tests.browser.phones import Phone, ids, kept

BATCH = "/api/v1/assessments/batch/"
HORSES = [str(cast.ref(each)) for each in ("Teasel", "Sorrel Lad", "Tansy")]


def test_a_reply_lost_after_the_request_arrived_is_one_row(
    link: lossy.Link, served: str, phone: Callable[..., Phone]
) -> None:
    held = phone(url=link.url)
    link.lose = lambda method, path: REPLY if path == BATCH and not link.posts(BATCH) else ""
    [entered] = held.score(HORSES[0])
    held.wait(sent=1, saved=0, sending=0)
    assert link.lost == [(REPLY, "POST", BATCH)]
    assert link.posts(BATCH) == 2
    assert ids(kept(served)) == [entered]


def test_a_third_of_requests_and_of_replies_lost_loses_nothing(
    link: lossy.Link, served: str, phone: Callable[..., Phone]
) -> None:
    held = phone(url=link.url)
    dice = random.Random(16)

    # What the phone asks for by itself is lost as well: a round, the way in, whether we are there.
    asked = ("/api/", "/settings/", "/healthz/")

    def lose(method: str, path: str) -> str:
        if method != "POST" and not path.startswith(asked):
            return ""
        return REQUEST if dice.random() < 0.3 else REPLY if dice.random() < 0.3 else ""

    link.lose = lose
    held.page.goto(f"/round/{cast.ref('Top Barn')}/")
    said = held.page.locator("[data-taking] p")
    for _ in range(60):
        held.page.click("[data-taking] button:enabled")
        expect(held.page.locator("[data-taking] button")).to_be_enabled()
        if "Downloaded" in said.inner_text():
            break
    assert len(held.do("({ take }) => take.taken()")) == 1
    # A token that was lost is fetched anew, which may take some attempts.
    held.context.clear_cookies(name="csrftoken")
    entered = []
    for at in range(16):
        entered += held.score(HORSES[at % 3], note=f"{at}")
        if at % 4 == 3:
            held.photograph(entered[-1:], "left")
    for _ in range(60):
        if held.counts()["sent"] == 20:
            break
        # A person who looks at the page does what time would do: it is tried at once.
        held.do("({ send }) => send.flushNow()")
    assert held.counts() == {"saved": 0, "sending": 0, "sent": 20, "needs_you": 0}
    assert {REQUEST, REPLY} <= {what for what, *_ in link.lost}
    assert ids(kept(served)) == sorted(entered)
    assert held.photos() == 4
