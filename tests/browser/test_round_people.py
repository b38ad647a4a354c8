"""What is on the phone belongs to whoever entered it, and waits for them whatever happens."""

from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from functools import partial

from playwright.sync_api import Page, expect

from tests import cast
from tests.browser import steps
from tests.browser.phones import SENDING, Phone, ids, kept
from tests.conftest import viewer_of
from yards import isolation
from yards.models import Grant

TEASEL = str(cast.ref("Teasel"))
FLUSH = "({ send }) => send.flushNow()"


def needs(page: Page) -> None:
    page.goto(SENDING)
    expect(page.locator("[data-part=needs_you] li")).to_have_count(1)


def enter(page: Page) -> None:
    """Sign in on the page that asks for it, and be on a page that says who that was."""
    page.fill("input[type=email]", "maud@example.org")
    page.fill("input[type=password]", cast.PASSWORD)
    page.click("main button[type=submit]")
    page.wait_for_url("**/round/")


def test_a_session_that_ended_while_offline_keeps_what_was_entered(
    served: str, phone: Callable[..., Phone]
) -> None:
    held = phone()
    held.offline()
    [entered] = held.score(TEASEL)
    held.context.clear_cookies()
    held.offline(False)
    held.do(FLUSH)
    held.wait(needs_you=1)
    needs(held.page)
    what = held.page.locator("[data-part=needs_you] li")
    expect(what).to_contain_text("Sign in as Maud Pell")
    expect(what.get_by_role("button", name="Remove from this phone")).to_have_count(0)
    what.get_by_role("link", name="Sign in").click()
    enter(held.page)
    held.wait(sent=1, needs_you=0)
    assert ids(kept(served)) == [entered]


def only_that_hers_waits(page: Page) -> None:
    """How much it is and whose, so that nobody clears the phone; what it is, is hers."""
    needs(page)
    expect(page.locator("[data-part=needs_you]")).to_contain_text("when Maud Pell signs in")
    expect(page.locator("[data-said]")).to_have_text("Needs you: 1.")
    shown = page.locator("main").inner_text()
    assert "Waiting here: 1." in shown
    assert TEASEL not in shown
    assert "Score" not in shown
    expect(page.locator("[data-part=needs_you] button")).to_have_count(0)


def signing_out_leaves_no_copy(held: Phone) -> None:
    """Whoever signs out leaves no copy of what the server holds; out of reach nothing goes."""
    assert held.take("Nether Paddocks")
    held.offline()
    held.page.click("text=Menu")
    held.page.click("text=Sign out")
    expect(held.page.locator("[data-trouble]")).to_contain_text("Nothing was removed")
    assert len(held.do("({ store }) => store.all('rounds')")) == 1
    held.offline(False)
    held.page.click("text=Menu")
    held.page.click("text=Sign out")
    held.page.wait_for_url("**/accounts/login/**")
    assert held.do("({ store }) => store.all('rounds')") == []
    assert held.do("({ who }) => who.current()") is None


def test_what_one_entered_is_never_sent_as_another(
    served: str, phone: Callable[..., Phone]
) -> None:
    held = phone("maud")
    assert held.take("Top Barn")
    held.offline()
    [entered] = held.score(TEASEL)
    held.context.clear_cookies()
    held.offline(False)
    steps.sign_in_by_form(held.page, "tobias")
    held.wait(needs_you=1)
    assert held.do("({ store }) => store.all('rounds')") == []
    only_that_hers_waits(held.page)
    assert kept(served) == []
    # Asked for by a page that does not know who is signed in, the server says it too.
    held.do(FLUSH)
    held.wait(needs_you=1)
    assert kept(served) == []
    # Who is signed in has to sign out first.
    held.page.get_by_role("link", name="Sign out, to sign in as somebody else").click()
    held.page.click("main button:has-text('Sign out')")
    held.page.wait_for_url("**/accounts/login/**")
    enter(held.page)
    held.wait(sent=1, needs_you=0)
    assert [(each["id"], each["assessor"]["name"]) for each in kept(served)] == [
        (entered, "Maud Pell")
    ]
    held.context.clear_cookies()
    steps.sign_in_by_form(held.page, "tobias")
    # The shells know who works here once a page of theirs has said so.
    steps.until(held.page, "() => document.documentElement.dataset.personName === 'Tobias Wren'")
    held.do("({ who }) => who.remember()")
    held.page.goto(SENDING)
    expect(held.page.locator("[data-none]")).to_be_visible()
    expect(held.page.locator("[data-said]")).to_be_empty()
    expect(held.page.locator("[data-part=sent] li")).to_have_count(0)
    signing_out_leaves_no_copy(held)


ELSEWHERE = """({ store }) => store.change("queue", async (queue) => {
  for (const item of await store.asked(queue.getAll())) {
    queue.put({ ...item, organisation: "elsewhere", organisationName: "Farm Trust" });
  }
})"""


def test_what_one_entered_for_another_organisation_is_a_number_only(
    phone: Callable[..., Phone],
) -> None:
    held = phone()
    held.take("Top Barn")
    held.offline()
    held.score(TEASEL)
    held.do(ELSEWHERE)
    held.page.goto(f"/round/{cast.ref('Top Barn')}/")
    expect(held.page.locator("[data-horses] > li").first).to_be_visible()
    expect(held.page.locator("[data-horses]")).not_to_contain_text("by you")
    held.page.goto(SENDING)
    what = held.page.locator("[data-part=needs_you] li")
    expect(what).to_contain_text("What Maud Pell entered for Farm Trust goes when Maud Pell works")
    expect(held.page.locator("main")).not_to_contain_text(TEASEL)
    expect(what.locator("a, button")).to_have_count(0)
    expect(held.page.locator("[data-part=saved] li")).to_have_count(0)


ALONE = """navigator.locks.request("halfpoint-send", () => new Promise((done) => {
  window.free = done;
}))"""
HELD = "() => navigator.locks.query().then(({ held }) => held.length > 0)"


def test_what_was_sent_is_told_for_half_a_day_and_then_forgotten(
    phone: Callable[..., Phone],
) -> None:
    held = phone()
    held.take("Top Barn")
    held.score(TEASEL)
    held.wait(sent=1, saved=0)
    marked = f"[data-horse='{TEASEL}'] .entered"
    expect(held.page.locator(marked)).to_contain_text("by you, sent")
    # What was due before is told no more, and its button is not the loud one.
    expect(held.page.locator(f"[data-horse='{TEASEL}'] .when")).to_be_hidden()
    expect(held.page.locator(f"[data-horse='{TEASEL}'] a.go")).to_have_count(0)
    # Another sender is at work: nothing is forgotten yet, but nothing is told either.
    other = held.opened()
    other.goto("/healthz/live")
    other.evaluate(f"void {ALONE}")
    steps.until(other, HELD)
    held.reopened(wrong=timedelta(hours=13)).goto(f"/round/{cast.ref('Top Barn')}/")
    expect(held.page.locator("[data-taking] p")).to_contain_text("Downloaded")
    # What the server knows of today is told by the server, not by the phone.
    expect(held.page.locator(f"[data-horse='{TEASEL}']")).not_to_contain_text("by you")
    expect(held.page.locator("[data-said]")).to_be_empty()
    assert len(held.do("({ queue }) => queue.all()")) == 1
    other.evaluate("window.free()")
    steps.until(held.page, "navigator.locks.query().then(({ held }) => !held.length)")
    assert held.do("({ queue }) => queue.all()") == []


def revoke(key: str, **change: object) -> None:
    with isolation.of(viewer_of("isolde")):
        Grant.objects.filter(ref=cast.ref(f"grant of {key}")).update(**change)


def test_a_grant_revoked_or_a_role_changed_keeps_everything_and_says_whom_to_ask(
    served: str, phone: Callable[..., Phone]
) -> None:
    held = phone()
    held.page.goto(SENDING)
    entered = []
    for change, back, said in (
        ({"revoked_at": datetime.now(UTC)}, {"revoked_at": None}, "was revoked. Ask the coordin"),
        ({"role": "auditor"}, {"role": "assessor"}, "no longer allows this. Ask the coordinator"),
    ):
        held.offline()
        entered += held.score(TEASEL)
        held.apart(partial(revoke, "maud", **change))
        held.offline(False)
        held.do(FLUSH)
        held.wait(needs_you=1)
        expect(held.page.locator("[data-part=needs_you]")).to_contain_text(said)
        held.apart(partial(revoke, "maud", **back))
        held.do(FLUSH)
        held.wait(sent=len(entered), needs_you=0)
    assert ids(kept(served)) == sorted(entered)
