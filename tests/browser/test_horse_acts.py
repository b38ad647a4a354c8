"""What may be done with a horse leaves what became of it in a phone's first screen."""

from playwright.sync_api import expect

from tests import cast
from tests.browser import steps
from tests.browser.conftest import LAPTOP, PHONE, Open


def test_the_rarer_acts_are_folded_on_a_phone_and_stand_open_on_a_laptop(opened: Open) -> None:
    page = opened(PHONE, script=False)
    steps.sign_in(page, "isolde")
    page.goto(f"/horses/{cast.ref('Teasel')}/")
    acts = page.locator("main .acts2").first
    expect(acts.get_by_role("link", name="Weigh")).to_be_visible()
    expect(acts.get_by_role("link", name="Facts")).to_be_hidden()
    box = page.locator(".panel h2").first.bounding_box()
    assert box is not None
    assert box["y"] < PHONE[1] * 0.6
    acts.get_by_text("More", exact=True).click()
    facts = acts.get_by_role("link", name="Facts")
    expect(facts).to_be_visible()
    for each in acts.locator("a, summary").all():
        size = each.bounding_box()
        assert size is not None
        assert size["height"] >= 48, each.text_content()
        assert size["x"] + size["width"] <= PHONE[0]
    acts.get_by_text("More", exact=True).click()
    expect(facts).to_be_hidden()
    page.set_viewport_size({"width": LAPTOP[0], "height": LAPTOP[1]})
    expect(facts).to_be_visible()
    expect(acts.get_by_text("More", exact=True)).to_be_hidden()
