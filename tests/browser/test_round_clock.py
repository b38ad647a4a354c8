"""A phone whose clock is a week wrong either way: the server knows when it was, all the same."""

from collections.abc import Callable
from datetime import UTC, datetime, timedelta

from tests import cast
from tests.browser.conftest import Open
from tests.browser.phones import Phone, kept
from tests.outside import EXACT, outside

TEASEL = str(cast.ref("Teasel"))
IDS = """async (at) => {
  const { uuid7 } = await import("/static/scoring/round/ids.js");
  return at.map((each) => uuid7(each));
}"""
# So that only what is sent together with it can tell how wrong the clock is.
WEEK = timedelta(days=7)
NEAR = timedelta(minutes=2)
# The service worker has the machine's own clock, unlike a phone's; only the page may send.
NO_WORKER = "navigator.serviceWorker.getRegistration().then((it) => it?.unregister())"


def test_the_time_is_put_right_by_what_the_phone_says_as_it_sends(
    served: str, phone: Callable[..., Phone]
) -> None:
    held = phone()
    held.page.evaluate(NO_WORKER)
    for by in (-WEEK, WEEK):
        page = held.reopened(wrong=by)
        page.add_init_script("delete Navigator.prototype.serviceWorker")
        page.goto("/round/sending/")
        held.offline()
        now = datetime.now(UTC)
        [entered] = held.score(TEASEL)
        held.offline(False)
        held.do("({ send }) => send.flushNow()")
        held.wait(saved=0, sending=0, needs_you=0)
        [row] = [each for each in kept(served) if each["id"] == entered]
        assert abs(datetime.fromisoformat(row["taken_at"]) - by - now) < NEAR
        assert abs(datetime.fromisoformat(row["corrected_taken_at"]) - now) < NEAR
    assert len(kept(served)) == 2


def test_a_clock_put_right_after_scoring_does_not_hide_that_it_was_wrong(
    served: str, phone: Callable[..., Phone]
) -> None:
    held = phone()
    held.page.evaluate(NO_WORKER)
    seen: set[str] = set()
    for by in (-WEEK, WEEK):
        for meanwhile in ("another page", "the same page"):
            page = held.reopened(wrong=by)
            page.add_init_script("delete Navigator.prototype.serviceWorker")
            held.take("Top Barn")
            held.offline()
            now = datetime.now(UTC)
            [entered] = held.score(TEASEL)
            if meanwhile == "another page":
                page = held.reopened()
                held.offline(False)
                page.goto("/round/sending/")
            else:
                page.evaluate("wrong = 0")
                held.offline(False)
                held.do("({ send }) => send.flushNow()")
            held.wait(saved=0, sending=0, needs_you=0)
            seen.add(entered)
            [row] = [each for each in kept(served) if each["id"] == entered]
            assert abs(datetime.fromisoformat(row["taken_at"]) - by - now) < NEAR
            assert abs(datetime.fromisoformat(row["corrected_taken_at"]) - now) < NEAR
    assert {each["id"] for each in kept(served)} == seen


@outside("ids of a phone are version 7, variant 10xx", source="RFC 9562, 5.7", status=EXACT)
def test_ids_are_of_version_7_and_in_order_of_time(opened: Open) -> None:
    page = opened()
    page.goto("/accounts/login/")
    at = [1_700_000_000_000, 1_700_000_000_001, 1_800_000_000_000]
    made = page.evaluate(IDS, at)
    assert made == sorted(made)
    assert [int(each.replace("-", "")[:12], 16) for each in made] == at
    assert {each[14] for each in made} == {"7"}
    assert {each[19] for each in made} <= set("89ab")
