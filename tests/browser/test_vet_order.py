"""A vet gives an order by keyboard alone: nothing typed is lost, and the visit says what stands."""

from playwright.sync_api import Page, expect

from tests import cast
from tests.browser import steps
from tests.browser.conftest import Open
from tests.browser.test_accessible import faults, read_out
from tests.outside import EXACT, outside


def to(page: Page, name: str) -> None:
    """Go on with the tabulator until the field of a name is reached."""
    for _ in range(40):
        if page.evaluate(f"{steps.FOCUSED}.name === '{name}'"):
            return
        page.keyboard.press("Tab")
    raise AssertionError(name)


@outside(
    "the form of a vet's order, refused and saved, is accessible",
    source="WCAG 2.2 A and AA, as axe-core tests them",
    status=EXACT,
)
def test_an_order_is_given_by_keyboard_from_the_visit(opened: Open) -> None:
    page = read_out(opened)
    steps.bring_session(page, "keziah")
    page.goto("/visit/")
    page.get_by_role("link", name="Order Teasel").first.focus()
    page.keyboard.press("Enter")
    expect(page.get_by_role("heading", name="What stands now")).to_be_visible()
    form = page.url
    to(page, "score_days")
    page.keyboard.type("7")
    to(page, "until")
    page.keyboard.type("1212")
    to(page, "reason")
    page.keyboard.type("Feeding up")
    # The year is lacking: the browser says so, and all that was typed is kept.
    page.keyboard.press("Enter")
    steps.until(page, f"() => {steps.FOCUSED}.name === 'until'")
    assert page.url == form
    assert page.evaluate(
        "document.forms.length && document.querySelector('#until').validity.badInput"
    )
    page.keyboard.type("12122090")
    to(page, "reason")
    page.keyboard.press("Enter")
    card = page.locator(f"#horse-{cast.ref('Teasel')}")
    expect(page.get_by_role("status")).to_contain_text(
        "In force now for Teasel: score every 7 days, until 12 Dec 2090."
    )
    expect(card).to_contain_text("Score every 7 days, set by Dr Keziah Orme until 12 Dec 2090")
    assert page.url.endswith(f"#horse-{cast.ref('Teasel')}")
    found = faults(page, "the visit after an order")
    page.goto(form)
    found += faults(page, "an order's form")
    assert found == []
