"""Whatever a network, a proxy or a broken server answers: only our own answer acknowledges."""

import re
from collections.abc import Callable

from playwright.sync_api import expect

from tests import cast
from tests.browser import lossy
from tests.browser.phones import SENDING, Phone, ids, kept

BATCH = "/api/v1/assessments/batch/"
TEASEL = str(cast.ref("Teasel"))
FLUSH = "({ send }) => send.flushNow()"
NO_ANSWER = (lossy.PORTAL, "portal elsewhere", "portal in JSON", "cut off", "broken", "no server")
FORGET = "({ store }) => store.drop('meta', 'rest')"


def test_no_answer_but_our_own_acknowledges(
    link: lossy.Link, served: str, phone: Callable[..., Phone]
) -> None:
    held = phone(url=link.url)
    held.page.goto(SENDING)
    said = held.page.locator("[data-said]")
    held.offline()
    entered = held.score(TEASEL, TEASEL)
    for answer in NO_ANSWER:
        link.lose = lambda method, path, answer=answer: (  # type: ignore[misc]
            answer if method == "POST" else ""
        )
        held.offline(False)
        held.do(FLUSH)
        assert (answer, "POST", BATCH) in link.lost
        held.wait(saved=2, sending=0, sent=0, needs_you=0)
        expect(said).to_have_text("Saved on this phone, waiting to send: 2.")
    link.lose = lambda method, path: ""
    held.do(FLUSH)
    held.wait(saved=0, sent=2)
    expect(said).to_have_text("Sent: 2.")
    assert ids(kept(served)) == sorted(entered)


def test_what_a_proxy_finds_too_large_needs_somebody_and_the_rest_goes(
    link: lossy.Link, served: str, phone: Callable[..., Phone]
) -> None:
    held = phone(url=link.url)
    held.page.goto(SENDING)
    held.offline()
    [entered] = held.score(TEASEL)
    held.photograph([entered], "left", "rear")
    photos = "/api/v1/photos/"
    refused: list[str] = []

    def lose(method: str, path: str) -> str:
        if (method, path) != ("POST", photos) or refused:
            return ""
        refused.append(path)
        return "too large"

    link.lose = lose
    held.offline(False)
    held.do(FLUSH)
    held.wait(saved=0, sending=0, sent=2, needs_you=1)
    what = held.page.locator("[data-part=needs_you] ul > li")
    expect(what).to_contain_text("too large")
    what.get_by_role("button", name="Send again").click()
    held.wait(sent=3, needs_you=0)
    assert ids(kept(served)) == [entered]
    assert held.photos() == 2


def test_a_server_that_asks_for_time_is_left_alone(
    link: lossy.Link, served: str, phone: Callable[..., Phone]
) -> None:
    held = phone(url=link.url)
    held.page.goto(SENDING)
    link.lose = lambda method, path: "too often" if method == "POST" else ""
    [entered] = held.score(TEASEL)
    expect(held.page.locator("[data-pending]")).to_have_text(re.compile(r" in 6\d\d s\.$"))
    link.lose = lambda method, path: ""
    asked = len(link.lost)
    # Neither a person who presses, nor another tab, nor more that waits asks before its time.
    held.page.get_by_role("button", name="Send now").click()
    held.opened().goto(SENDING)
    more = held.score(TEASEL)
    assert held.do(FLUSH) is True
    held.wait(saved=2, sent=0)
    assert (len(link.lost), link.posts(BATCH)) == (asked, 0)
    held.do(FORGET)
    held.do(FLUSH)
    held.wait(saved=0, sent=2)
    assert ids(kept(served)) == sorted([entered, *more])


def test_a_token_that_was_changed_or_lost_is_fetched_anew(
    served: str, phone: Callable[..., Phone]
) -> None:
    held = phone()
    held.page.goto(SENDING)
    [entered] = held.score(TEASEL)
    held.wait(sent=1)
    held.context.clear_cookies(name="csrftoken")
    more = held.score(TEASEL)
    held.wait(sent=2, saved=0)
    # Signed in again elsewhere, with a session and a token of their own.
    held.context.clear_cookies()
    other = held.opened()
    other.goto("/accounts/login/")
    other.fill("input[type=email]", "maud@example.org")
    other.fill("input[type=password]", cast.PASSWORD)
    other.click("main button[type=submit]")
    other.wait_for_url("**/")
    more += held.score(TEASEL)
    held.wait(sent=3, saved=0, needs_you=0)
    assert ids(kept(served)) == sorted([entered, *more])
