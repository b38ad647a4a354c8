"""Scoring where there is no connection: the shell, the horse from the phone, the queue."""

import re
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, expect

from tests import cast
from tests.browser import phones, scoring, steps
from tests.browser.conftest import PHONE, Open
from tests.conftest import viewer_of
from yards import isolation
from yards.models import Horse, Organisation

QUEUE = """async () => (await (await import("/static/scoring/round/queue.js")).all())"""
# Drafts, and photos that no draft and no queue has a use for.
LEFT = """async () => {
  const store = await import("/static/scoring/round/store.js");
  return [(await store.all("drafts")).length, (await store.all("photos")).length];
}"""
# The round on this phone as if one horse were five days late, and the other not due for long.
LATE = """async ([milkwort, days]) => {
  const store = await import("/static/scoring/round/store.js");
  const [round] = await store.all("rounds");
  const at = (by) => new Date(Date.now() + by * 86400000).toISOString();
  const due = (by, state) => ({ score_at: at(by), weight_at: at(30), state });
  const horses = round.horses.map((each) => ({ ...each, due: due(30, "not_due") }));
  const is = { id: milkwort, name: "Milkwort", order: 3, due: due(-days, "overdue") };
  await store.put("rounds", { ...round, horses: [...horses, { ...horses[0], ...is }] });
}"""
LEADS = """() => {
  const [next, lead] = ["[data-next-horse]", "[data-sum=lead]"].map((each) =>
    document.querySelector(each).getBoundingClientRect());
  return scrollY === 0 && next.bottom < lead.top;
}"""
TAKE = """async (yard) => (await import("/static/scoring/round/take.js")).take(yard)"""


@pytest.fixture
def phone(served: str, browser: Browser) -> Page:
    """A phone whose connection may be cut, which its own sending then notes in the console."""
    context = browser.new_context(
        base_url=served, viewport={"width": PHONE[0], "height": PHONE[1]}, locale="en-GB"
    )
    context.set_default_timeout(10_000)
    return context.new_page()


@pytest.fixture
def particular(database: str) -> None:
    """Teasel is a stallion, and his organisation reads the pelvis-led overall first."""
    with isolation.of(viewer_of("isolde")):
        Horse.objects.filter(ref=cast.ref("Teasel")).update(sex="stallion")
        Organisation.objects.filter(id=cast.ref(cast.QUILLET)).update(overall_rule="pelvis_led")


def open_shell(page: Page, key: str, name: str, *, installed: bool = False) -> None:
    """Take the round along and open the shell for a horse, as the round's link does."""
    steps.sign_in(page, "maud")
    page.evaluate(TAKE, str(cast.ref("Top Barn")))
    if installed:  # what the app keeps is there without a network, and takes its time to come
        steps.until(page, phones.INSTALLED, seconds=60)
    page.goto(f"/round/score/{key}/#{cast.ref(name)}")
    assert steps.ready(page)


def forward(page: Page) -> None:
    for region in scoring.REGIONS:
        scoring.next_step(page)
        scoring.key(page, f"regions.{region}", "3.0")
    scoring.next_step(page)


def queued(page: Page) -> dict[str, Any]:
    """What waits to be sent, which must be the score of Teasel."""
    [item] = page.evaluate(QUEUE)
    body: dict[str, Any] = item["body"]
    assert item["kind"] == "assessment"
    assert item["about"] == {
        "horse": str(cast.ref("Teasel")),
        "name": "Teasel",
        "yard": str(cast.ref("Top Barn")),
    }
    assert body["regions"] == dict.fromkeys(scoring.REGIONS, "3.0")
    assert body["weighing"] == {"method": "weigh_tape", "weight_kg": "431.5"}
    assert (body["rug_off"], body["looked_for_danger"]) == (True, True)
    return body


def test_a_horse_is_scored_without_a_connection_and_the_api_takes_what_is_kept(
    phone: Page,
) -> None:
    page = phone
    open_shell(page, "five", "Teasel", installed=True)
    expect(page.locator("h1")).to_have_text("Teasel")
    expect(page.locator("header.top")).to_contain_text("Top Barn")
    page.evaluate("() => import('/static/scoring/round/queue.js')")
    page.context.set_offline(True)
    page.click("[data-danger]")
    expect(page.locator("dialog a[href='tel:01632960144']")).to_be_visible()
    page.click("[data-close]")
    page.locator("label:has(#looked_for_danger)").click()
    forward(page)
    steps.choose(page, "weighing.method", "weigh_tape")
    page.fill("[name='weighing.weight_kg']", "431.5")
    steps.choose(page, "rug_off", "true")
    scoring.next_step(page)
    expect(page.locator("[data-sum=lead]")).to_have_text("3.00")
    expect(page.locator("[data-sum=band]")).to_contain_text("the target band 2 to 3")
    page.click("text=Save score")
    expect(page.locator("[data-sum=kept]")).to_contain_text("Saved on this phone")
    body = queued(page)
    drafts = page.evaluate(
        """async () => (await import("/static/scoring/round/drafts.js")).all()"""
    )
    assert drafts == []
    page.context.set_offline(False)
    token = next(each["value"] for each in page.context.cookies() if each["name"] == "csrftoken")
    answer = page.request.post(
        "/api/v1/assessments/", data=body, headers={"X-CSRFToken": token, "Referer": page.url}
    )
    # Sent by the phone itself meanwhile, or by this.
    assert answer.status in (200, 201), answer.text()
    assert answer.json()["overall"] == "3.00"


def test_the_next_horse_of_the_walk_is_one_tap_away(phone: Page) -> None:
    page = phone
    open_shell(page, "five", "Teasel", installed=True)
    page.evaluate(LATE, [str(cast.ref("Milkwort")), 5])
    page.context.set_offline(True)
    # Opened by what is due, the walk goes on by it.
    page.goto(f"/round/{cast.ref('Top Barn')}/?first=due")
    rows = page.locator("[data-horses] h2")
    expect(rows).to_have_text(["Milkwort", "Sorrel Lad", "Teasel"])
    page.locator("[data-horses] li:has-text('Teasel') a.btn").click()
    assert steps.ready(page)
    here = f"/round/{cast.ref('Top Barn')}/?first=due"
    expect(page.locator("a[data-of=round]").first).to_have_attribute("href", here)
    page.locator("label:has([name=danger_signs])").first.click()
    forward(page)
    scoring.to_summary(page)
    page.click("text=Save score")
    following = page.locator("[data-next-horse]")
    expect(following).to_be_focused()
    # What was seen comes before whoever is next: whom to ring.
    then = page.locator("[data-then]")
    expect(then.locator("> :first-child")).to_have_text(re.compile("^Danger signs were seen"))
    expect(then.locator("a[href='tel:01632960118']")).to_be_visible()
    assert following.get_attribute("href") == f"/round/score/five/#{cast.ref('Milkwort')}"
    expect(following).to_have_text("Next: Milkwort, overdue 5 days")
    # At the head, before what the score comes to.
    assert page.evaluate(LEADS)
    # Saved is saved: no way back leads into the form of it.
    page.go_back()
    page.wait_for_timeout(300)
    scoring.at(page, "summary")
    expect(following).to_be_visible()
    expect(page.locator("[data-bar]")).to_be_hidden()


def test_back_and_forward_between_two_horses_show_each_its_own(phone: Page) -> None:
    page = phone
    open_shell(page, "five", "Sorrel Lad")
    page.context.route("**/api/**", lambda route: route.abort())  # the score stays here
    forward(page)
    scoring.to_summary(page)
    page.click("text=Save score")
    following = page.locator("[data-next-horse]")
    expect(following).to_have_text(re.compile("^Next: Teasel"))
    following.click()
    expect(page.locator("h1")).to_have_text("Teasel")
    steps.ready(page)
    scoring.next_step(page)
    scoring.key(page, "regions.neck_and_shoulder", "4.5")
    page.go_back()  # from the first region to the look
    scoring.at(page, "look")
    page.go_back()
    expect(page.locator("h1")).to_have_text("Sorrel Lad")
    assert str(cast.ref("Sorrel Lad")) in page.url
    expect(page.locator("form[data-ready]")).to_be_attached()
    # Saved is saved: what was entered stands there, and no form.
    expect(page.locator("[data-sum=kept]")).to_contain_text("Saved on this phone.")
    expect(page.locator("[data-sum=lead]")).to_have_text("3.00")
    expect(page.locator("[data-bar]")).to_be_hidden()
    page.go_forward()
    expect(page.locator("h1")).to_have_text("Teasel")
    assert str(cast.ref("Teasel")) in page.url
    expect(page.locator("[name='regions.neck_and_shoulder'][value='4.5']")).to_be_checked()
    # Who came back to what is saved and left it again has begun nothing.
    page.goto(f"/round/{cast.ref('Top Barn')}/")
    rows = page.locator("[data-horse]")
    expect(rows.filter(has_text="Sorrel Lad")).to_contain_text("Score again")


def test_a_stallion_and_an_organisation_s_own_rule_are_heeded_without_a_connection(
    particular: None, phone: Page
) -> None:
    page = phone
    open_shell(page, "five", "Teasel", installed=True)
    page.context.set_offline(True)
    scoring.next_step(page)
    steps.choose(page, "findings.crest", "slight")
    expect(page.locator("output[data-suggests='neck_and_shoulder']")).to_have_text(
        "A crest that bends easily: noted, not counted, since a stallion may have a crest at any "
        "score."
    )
    for region, score in zip(scoring.REGIONS, ("3.5", "4.5", "4.0"), strict=True):
        scoring.key(page, f"regions.{region}", score)
        scoring.next_step(page)
    scoring.to_summary(page)
    expect(page.locator("[data-sum=what]")).to_have_text("overall, pelvis-led")
    expect(page.locator("[data-sum=beside]")).to_have_text(
        "Mean of the three 4.00, nearest half 4."
    )


NO_ROOM = """() => {
  const put = IDBObjectStore.prototype.put;
  IDBObjectStore.prototype.put = function (...given) {
    if (this.name === "photos") throw new DOMException("no room", "QuotaExceededError");
    return put.apply(this, given);
  };
}"""


def test_a_photo_that_finds_no_room_does_not_take_its_score_along(phone: Page) -> None:
    page = phone
    open_shell(page, "five", "Teasel", installed=True)
    page.context.set_offline(True)
    forward(page)
    steps.unfold(page, "#photo-left")
    page.context.set_offline(False)  # the script that makes a photo small
    page.set_input_files("#photo-left", scoring.HORSE)
    expect(page.locator("[data-side=left] canvas")).to_be_visible()
    page.context.set_offline(True)
    page.wait_for_timeout(300)
    page.evaluate(NO_ROOM)
    scoring.next_step(page)
    page.click("text=Save score")
    said = page.locator("[data-sum=kept]")
    expect(said).to_contain_text("Saved on this phone")
    expect(said).to_contain_text("no room to keep: 1. The score stands")
    expect(page.locator("[data-wanting]")).to_be_hidden()
    assert [each["kind"] for each in page.evaluate(QUEUE)] == ["assessment"]
    assert page.evaluate(LEFT) == [0, 0]


def test_a_draft_of_the_shell_comes_back_with_its_horse(opened: Open) -> None:
    page = opened(PHONE)
    open_shell(page, "five", "Teasel")
    scoring.next_step(page)
    scoring.key(page, "regions.neck_and_shoulder", "2.5")
    before = page.input_value("[name=id]")
    page.goto("/")
    page.goto(f"/round/score/five/#{cast.ref('Teasel')}")
    steps.ready(page)
    scoring.at(page, "neck_and_shoulder")
    assert page.input_value("[name=id]") == before
    expect(page.locator("input[name='regions.neck_and_shoulder'][value='2.5']")).to_be_checked()
    page.go_back()


def test_a_horse_that_is_not_on_this_phone_is_said_to_be_none(opened: Open) -> None:
    page = opened(PHONE)
    steps.bring_session(page, "maud")
    page.goto(f"/round/score/five/#{cast.ref('Teasel')}")
    expect(page.locator("[data-no-horse]")).to_be_visible()
    expect(page.locator("[data-step=look]")).to_be_hidden()
