"""An unknown animal: what was begun comes back, and looked at but not touched is a full answer."""

from collections.abc import Callable

from playwright.sync_api import Page, expect

from scoring.models import Concern
from tests.browser import phones, steps
from tests.browser.phones import Phone
from tests.browser.scoring import HORSE
from tests.conftest import viewer_of
from yards import isolation

# The phone is closed before what was saved is no draft any more.
KEEPS_DRAFTS = """() => {
  const drop = IDBObjectStore.prototype.delete;
  IDBObjectStore.prototype.delete = function (...given) {
    if (this.name === "drafts") throw new DOMException("closed", "AbortError");
    return drop.apply(this, given);
  };
}"""
KEPT = """async (note) => (await (await import("/static/scoring/round/drafts.js")).all())
  .some((draft) => draft.values.note === note && draft.photos.length === 1)"""
NOTE = "Star, two white socks"


def sign(page: Page, value: str) -> None:
    page.locator(f"label:has([value={value}])").click()


def concerns(held: Phone) -> list[list[str]]:
    """The danger signs of each concern that the server keeps."""
    found: list[list[str]] = []

    def read() -> None:
        with isolation.of(viewer_of("isolde")):
            rows = Concern.objects.values_list("danger_signs", flat=True)
            found.extend(sorted(each) for each in rows)

    held.apart(read)
    return found


def begun(held: Phone) -> None:
    """Take an animal in, all but pressing Save; the phone is then closed in the middle of it."""
    page = held.page
    page.goto("/round/unknown/")
    expect(page.locator("[data-photos]")).to_be_visible()
    expect(page.locator("[data-brought]")).to_be_hidden()
    page.fill("[name=name]", "Grey by the gate")
    page.locator("label:has([name=species][value=horse])").click()
    page.locator("label:has([name=sex][value=mare])").click()
    sign(page, "cannot_rise")
    page.locator("label:has([name=looked_for_danger])").click()
    # The later tick stands.
    expect(page.locator("[name=danger_signs]:checked")).to_have_count(0)
    page.set_input_files("#photo-mark", HORSE)
    expect(page.locator("[data-side=mark] canvas")).to_be_visible()
    page.fill("[name=note]", NOTE)
    steps.until(page, KEPT, NOTE)


def test_what_was_begun_comes_back_and_is_sent_whole(phone: Callable[..., Phone]) -> None:
    held = phone()
    held.take("Top Barn")
    held.offline()
    begun(held)
    held.page.close()
    held.page = page = held.opened()
    page.goto("/round/unknown/")
    expect(page.locator("[data-brought]")).to_be_visible()
    expect(page.locator("[name=name]")).to_have_value("Grey by the gate")
    expect(page.locator("[name=looked_for_danger]")).to_be_checked()
    expect(page.locator("[data-side=mark] canvas")).to_be_visible()
    expect(page.locator("[name=note]")).to_have_value(NOTE)
    page.get_by_role("button", name="Save, not safe to palpate").click()
    expect(page.locator("[data-saved] h2")).to_be_focused()
    # Looked, none seen: what it looks like is no concern, and goes with what was not safe.
    held.wait(saved=3)
    # One animal with what was seen of it is one thing, and nobody scored it.
    expect(page.locator("[data-said]")).to_have_text("Saved on this phone, waiting to send: 1.")
    page.goto(phones.SENDING)
    expect(page.locator("[data-part=saved]")).to_contain_text("Not scored: not safe to touch")
    held.offline(False)
    held.do("({ send }) => send.flushNow()")
    held.wait(sent=3, saved=0, needs_you=0)
    [scored] = phones.kept(held.url)
    assert scored["overall"] is None
    assert scored["manner"] == "visual"
    assert scored["looked_for_danger"]
    assert scored["note"] == NOTE
    assert concerns(held) == []
    assert set(scored["regions"].values()) == {None}
    assert held.photos() == 1
    page.goto(f"/horses/{scored['horse']}/")
    for told in (NOTE, "mare", "use not known"):
        expect(page.locator("main")).to_contain_text(told)
    # Nothing of it is asked for again.
    page.goto("/round/unknown/")
    expect(page.locator("[data-brought]")).to_be_hidden()
    expect(page.locator("[name=name]")).to_have_value("")


def test_saved_once_more_what_has_gone_is_not_sent_again_and_the_rest_follows(
    phone: Callable[..., Phone],
) -> None:
    held = phone()
    held.take("Top Barn")
    page = held.page
    page.goto("/round/unknown/")
    expect(page.locator("[data-photos]")).to_be_visible()
    page.locator("label:has([name=species][value=horse])").click()
    sign(page, "cannot_rise")
    page.evaluate(KEEPS_DRAFTS)
    unsafe = page.get_by_role("button", name="Save, not safe to palpate")
    unsafe.click()
    expect(page.locator("[data-fault]")).to_be_visible()
    held.wait(sent=3, saved=0, needs_you=0)
    [horse] = [each for each in phones.kept(held.url, "horses") if each["is_unknown"]]
    page.wait_for_timeout(1100)  # another second: the name is made of the time
    page.reload()
    expect(page.locator("[data-brought]")).to_be_visible()
    sign(page, "not_eating")
    unsafe.click()
    expect(page.locator("[data-saved] h2")).to_be_focused()
    held.wait(sent=4, saved=0, needs_you=0)
    assert [each for each in phones.kept(held.url, "horses") if each["is_unknown"]] == [horse]
    assert sorted(concerns(held)) == [["cannot_rise"], ["cannot_rise", "not_eating"]]
    assert len(phones.kept(held.url)) == 1


def test_scored_by_hand_it_begins_with_what_was_written_down(
    phone: Callable[..., Phone],
) -> None:
    held = phone()
    held.take("Top Barn")
    held.offline()
    begun(held)
    held.page.get_by_role("button", name="Save, then score by hand").click()
    held.page.wait_for_url("**/round/score/five/**")
    steps.ready(held.page)
    expect(held.page.locator("h1")).to_have_text("Grey by the gate")
    expect(held.page.locator("#looked_for_danger")).to_be_checked()
    expect(held.page.locator("[name=note]")).to_have_value(NOTE)
    expect(held.page.locator("[name=manner][value=palpated]")).to_be_checked()
    held.wait(saved=2)
