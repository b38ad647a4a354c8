"""A new version of the app: what waits is kept, and what the old one left open still works."""

import json
import re
import time
from collections.abc import Callable

from playwright.sync_api import expect

from tests import cast
from tests.browser import lossy
from tests.browser.phones import SENDING, Phone, ids, kept

TEASEL = str(cast.ref("Teasel"))
FLUSH = "({ send }) => send.flushNow()"
CACHES = "caches.keys().then((names) => names.filter((it) => it.startsWith('halfpoint-shell-')))"
UPDATED = """navigator.serviceWorker.getRegistration().then(async (it) => {
  await it.update();
  const fresh = it.installing ?? it.waiting;
  if (!fresh) return "the same";
  return new Promise((done) => {
    fresh.onstatechange = () => {
      if (["activated", "redundant"].includes(fresh.state)) done(fresh.state);
    };
  });
})"""
# A module that no page has asked for yet: the next version has another in its place.
RENAMED = "scoring/round/photo.js"
PHOTO = f"import('/static/{RENAMED}').then((it) => typeof it.made)"


LIST, WALK = "/horses/", f"/round/{cast.ref('Top Barn')}/"


def test_only_where_the_phone_has_something_to_show_a_slow_answer_is_none(
    link: lossy.Link, phone: Callable[..., Phone]
) -> None:
    hasty = newer("hasty")
    slow = False

    def alter(path: str, content: bytes) -> bytes:
        if slow and path in {LIST, WALK}:
            time.sleep(1.5)
        return hasty(path, content).replace(b'"patience": 8000', b'"patience": 500')

    link.alter = alter
    held = phone(url=link.url)
    held.take("Top Barn")
    slow = True
    away = held.page.locator("[data-away]")
    held.page.goto(LIST)
    expect(away).to_have_count(0)
    held.page.goto(WALK)
    expect(away).to_be_visible()
    # Whoever asks once more is ready to wait.
    held.page.get_by_role("button", name="Try the page again").click()
    expect(held.page.locator("[data-taking]")).to_be_visible()
    expect(away).to_have_count(0)


def newer(version: str) -> Callable[[str, bytes], bytes]:
    """Hand the worker on as one of another version, in which a module has another name."""

    def alter(path: str, content: bytes) -> bytes:
        if path != "/sw.js":
            return content
        found = re.search(r"halfpointServe\((.*)\);", content.decode())
        assert found is not None
        facts = json.loads(found[1])
        facts["version"] = version
        facts["files"] = [each for each in facts["files"] if RENAMED not in each]
        made = content.decode().replace(found[1], json.dumps(facts))
        return made.encode()

    return alter


def test_a_new_version_keeps_what_waits_and_what_is_open(
    link: lossy.Link, served: str, phone: Callable[..., Phone]
) -> None:
    held = phone(url=link.url)
    held.page.goto(SENDING)
    held.offline()
    [entered] = held.score(TEASEL)
    held.photograph([entered], "left")
    [before] = held.page.evaluate(CACHES)
    # While a network that wants a sign-in of its own answers for us, nothing of it is taken in.
    link.alter = newer("b")
    link.lose = lambda method, path: (
        lossy.REQUEST if method == "POST" else lossy.PORTAL if path.startswith("/round/") else ""
    )
    held.offline(False)
    assert held.page.evaluate(UPDATED) == "redundant"
    assert held.page.evaluate(CACHES) == [before]
    # The server has the new version only, and can be read but not written to.
    link.lose = lambda method, path: (
        "gone" if RENAMED in path else lossy.REQUEST if method == "POST" else ""
    )
    link.alter = newer("c")
    assert held.page.evaluate(UPDATED) == "activated"
    assert held.page.evaluate(CACHES) == [before, "halfpoint-shell-c"]
    assert held.page.evaluate(PHOTO) == "function"
    held.wait(saved=2, sent=0)
    # Two versions on, the first is gone; what waited is not.
    link.alter = newer("d")
    assert held.page.evaluate(UPDATED) == "activated"
    assert held.page.evaluate(CACHES) == ["halfpoint-shell-c", "halfpoint-shell-d"]
    held.page.reload()
    held.wait(saved=2, sent=0)
    link.lose = lambda method, path: ""
    held.do(FLUSH)
    held.wait(saved=0, sent=2)
    assert ids(kept(served)) == [entered]
    assert held.photos() == 1
