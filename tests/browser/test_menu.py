"""The bar of every page is one line: what does not fit is behind a button, without a script too."""

import pytest
from playwright.sync_api import expect

from tests.browser import steps
from tests.browser.conftest import LAPTOP, PHONE, Open
from tests.browser.test_accessible import LARGE, ONE_LINE, bar

SHEET = "#places:popover-open"
# Where each thing of the line stands.
PLACES = """() => [...document.querySelectorAll('.bar a, .bar button, .bar span')]
    .filter((it) => it.checkVisibility()).map((it) => {
        const { x, y, width } = it.getBoundingClientRect();
        return [it.textContent.trim(), x, y, width];
    })"""


@pytest.mark.parametrize("script", [True, False], ids=["script", "no script"])
def test_a_place_is_gone_to_from_a_phone_by_keyboard_alone(opened: Open, script: bool) -> None:
    page = opened(PHONE, script=script)
    steps.sign_in(page, "isolde")
    assert bar(page) <= ONE_LINE
    steps.tab_to(page, "it.textContent.trim() === 'Menu'")
    page.keyboard.press("Enter")
    expect(page.locator(SHEET)).to_be_visible()
    page.keyboard.press("Escape")
    expect(page.locator(SHEET)).to_have_count(0)
    page.keyboard.press("Enter")  # the focus is back on the button
    steps.tab_to(page, "it.textContent.trim() === 'Round'")
    page.keyboard.press("Enter")
    page.wait_for_url("**/round/")
    current = page.locator("nav a[aria-current=page]")
    assert current.text_content() == "Round"


@pytest.mark.parametrize("large", [False, True], ids=["100%", "200%"])
def test_all_of_the_menu_is_large_enough_for_a_thumb(opened: Open, large: bool) -> None:
    page = opened(PHONE)
    steps.sign_in(page, "isolde")
    if large:
        page.evaluate(LARGE)
    page.click("text=Menu")
    things = page.locator(f"{SHEET} a, {SHEET} button")
    assert things.count() == 14
    for each in things.all():
        box = each.bounding_box()
        assert box is not None
        assert box["height"] >= 48, each.text_content()
        assert box["x"] >= 0
        assert box["x"] + box["width"] <= PHONE[0]
    page.click(f"{SHEET} >> text=Close")
    expect(page.locator(SHEET)).to_have_count(0)


def test_on_a_laptop_every_place_is_in_the_line_until_the_text_is_large(opened: Open) -> None:
    page = opened(LAPTOP)
    steps.sign_in(page, "isolde")
    assert bar(page) <= ONE_LINE
    expect(page.locator("#places a").last).to_be_visible()
    expect(page.locator(".menu")).to_be_hidden()
    page.evaluate(LARGE)
    assert bar(page) <= ONE_LINE
    expect(page.locator("#places a").last).to_be_hidden()
    page.click("text=Menu")
    expect(page.locator("#places a").last).to_be_visible()


@pytest.mark.parametrize("size", [PHONE, LAPTOP], ids=["phone", "laptop"])
def test_the_sun_button_moves_nothing_of_the_line(opened: Open, size: tuple[int, int]) -> None:
    page = opened(size)
    for path in ("/accounts/login/", "/"):
        steps.sign_in(page, "isolde") if path == "/" else page.goto(path)
        places = page.evaluate(PLACES)
        page.click("[data-sun]")
        assert page.locator("html").get_attribute("data-theme") == "sun"
        assert page.evaluate(PLACES) == places
        page.click("[data-sun]")
