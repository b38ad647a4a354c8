"""Two tabs and the service worker never send one thing twice; the browser sends by itself."""

from collections.abc import Callable

import pytest

from tests import cast
from tests.browser import lossy
from tests.browser.phones import Phone, ids, kept

BATCH = "/api/v1/assessments/batch/"
TEASEL = str(cast.ref("Teasel"))
FLUSH = "({ send }) => send.flushNow()"
# Both begin before either has finished: nothing waits for the first here.
BOTH = """async ({ send }) => {
  const channel = new BroadcastChannel("test");
  channel.postMessage("go");
  await send.flushNow();
}"""
ON_GO = """({ send }) => {
  new BroadcastChannel("test").onmessage = () => { window.told = send.flushNow(); };
}"""


def test_two_tabs_send_what_waits_once_and_say_the_same(
    link: lossy.Link, served: str, phone: Callable[..., Phone]
) -> None:
    held = phone(url=link.url)
    other = held.opened()
    other.goto("/round/sending/")
    held.offline()
    entered = held.score(TEASEL, TEASEL, TEASEL)
    other.wait_for_selector("[data-said]:has-text('Saved on this phone, waiting to send: 3.')")
    held.do(ON_GO, page=other)
    before = link.posts(BATCH)
    held.offline(False)
    held.do(BOTH)
    other.evaluate("window.told")
    held.wait(sent=3, saved=0, sending=0)
    # Three in one request, whoever sent it; the server was asked once.
    assert link.posts(BATCH) == before + 1
    assert ids(kept(served)) == sorted(entered)
    other.wait_for_selector("[data-said]:has-text('Sent: 3.')")


@pytest.mark.long
def test_the_browser_sends_by_itself_what_a_page_left(
    link: lossy.Link, served: str, phone: Callable[..., Phone]
) -> None:
    held = phone(url=link.url)
    held.offline()
    [entered] = held.score(TEASEL)
    held.do("({ send }) => send.flush()")
    # As a tab leaves it that is closed between asking and being answered.
    held.do("({ queue }, id) => queue.begin([id])", entered)
    assert [each["state"] for each in held.do("({ store }) => store.all('queue')")] == ["sending"]
    held.page.close()
    held.offline(False)
    held.page = held.opened()
    held.page.goto("/")
    held.wait(sent=1, sending=0)
    # With no page of ours open at all.
    held.offline()
    more = held.score(TEASEL)
    held.page.goto("about:blank")
    held.offline(False)
    for _ in range(200):
        if len(kept(served)) == 2:
            break
        held.page.wait_for_timeout(100)
    held.page.goto("/round/sending/")
    held.wait(sent=2, saved=0)
    assert ids(kept(served)) == sorted([entered, *more])
