"""A horse is scored by keyboard alone, and without any script, on a phone and on a laptop.

WCAG 2.2, success criteria 2.1.1 (keyboard) and 1.4.10 (reflow: no scrolling sideways).
"""

import pytest
from playwright.sync_api import Page, expect

from tests import cast
from tests.browser import scoring, steps
from tests.browser.conftest import LAPTOP, PHONE, SIZES, Open, size_name
from tests.outside import EXACT, outside


def says_what_it_came_to(page: Page) -> None:
    expect(page.locator(".big")).to_contain_text("4.17")
    expect(page.locator("main")).to_contain_text("above target band")
    expect(page.locator("main")).to_contain_text("Fat in spring")
    expect(page.locator("a[href='tel:01632960118']").first).to_be_visible()


@outside(
    "a horse is scored by keyboard alone", source="WCAG 2.2, success criterion 2.1.1", status=EXACT
)
@pytest.mark.parametrize("size", SIZES, ids=size_name)
def test_by_keyboard_alone(opened: Open, size: tuple[int, int]) -> None:
    page = opened(size)
    page.goto("/")
    steps.tab_to(page, "it.type === 'email'")
    page.keyboard.type("maud@example.org")
    steps.tab_to(page, "it.type === 'password'")
    page.keyboard.type(cast.PASSWORD)
    page.keyboard.press("Enter")
    page.wait_for_url("**/")
    steps.tab_to(page, "it.textContent.trim() === 'Assess Teasel'")
    page.keyboard.press("Enter")
    page.wait_for_url("**/score/")
    steps.ready(page)
    steps.tab_to(page, "it.matches('[data-next]')")
    page.keyboard.press("Enter")
    for region, keys in (
        ("neck_and_shoulder", ["3", "h"]),
        ("back_and_ribs", ["5"]),
        ("hindquarters", ["3", "h", "ArrowRight"]),
    ):
        steps.tab_to(page, f"it.name === 'regions.{region}'")
        for key in keys:
            page.keyboard.press(key)
        steps.tab_to(page, "it.matches('[data-next]')")
        page.keyboard.press("Enter")
    steps.tab_to(page, "it.matches('[data-next]')")
    page.keyboard.press("Enter")
    steps.tab_to(page, "it.textContent.trim() === 'Save score'")
    page.keyboard.press("Enter")
    page.wait_for_url("**/assessments/*/")
    says_what_it_came_to(page)


@pytest.mark.parametrize("size", SIZES, ids=size_name)
def test_without_a_script(opened: Open, size: tuple[int, int]) -> None:
    page = opened(size, script=False)
    steps.sign_in_by_form(page, "maud")
    page.goto(steps.TEASEL)
    steps.score(page, region="neck_and_shoulder", value="3.5")
    steps.score(page, region="back_and_ribs", value="5.0")
    steps.unfold(page, "[name=note]")
    page.locator("textarea[name=note]").fill("Moved away.")
    page.click("text=Save score")
    # A region was left out: it is named, with the way to it, and nothing typed is lost.
    expect(page.locator("#faults")).to_contain_text("Hindquarters")
    expect(page.locator("#faults a")).to_have_attribute("href", "#regions.hindquarters")
    expect(page.locator("textarea[name=note]")).to_have_value("Moved away.")
    chosen = "input[name='regions.back_and_ribs'][value='5.0']"
    expect(page.locator(chosen)).to_be_checked()
    steps.score(page, region="hindquarters", value="4.0")
    # A file is chosen by the browser's own control, and goes with the form.
    steps.unfold(page, "#photo-left")
    page.set_input_files("#photo-left", scoring.HORSE)
    page.click("text=Save score")
    page.wait_for_url("**/assessments/*/")
    says_what_it_came_to(page)
    page.goto(f"/horses/{cast.ref('Teasel')}/")
    expect(page.get_by_role("img", name="Teasel, left side")).to_be_attached()


def test_not_safe_to_palpate_is_a_full_answer(opened: Open) -> None:
    page = opened(PHONE)
    steps.bring_session(page, "maud")
    page.goto(steps.TEASEL)
    steps.score(page, region="neck_and_shoulder", value="3.0")
    steps.score(page, region="back_and_ribs", value="3.0")
    steps.to(page, "hindquarters")
    page.locator("label.pad:has(input[name='regions.hindquarters'])").click()
    steps.save(page)
    page.wait_for_url("**/assessments/*/")
    expect(page.locator(".came")).to_contain_text("No overall score")


@outside("nothing scrolls sideways", source="WCAG 2.2, success criterion 1.4.10", status=EXACT)
def test_nothing_scrolls_sideways_on_a_phone(opened: Open) -> None:
    page = opened(PHONE)
    steps.bring_session(page, "maud")
    steps.score_fat(page)
    answer = page.url
    alert = page.locator("a:has-text('Read alert')").first.get_attribute("href")
    assert alert is not None
    wide = "document.documentElement.scrollWidth - document.documentElement.clientWidth"
    for path in ("/", steps.TEASEL, answer, alert, "/alerts/"):
        page.goto(path)
        assert page.evaluate(wide) <= 0, path


def test_an_impatient_double_click_is_one_score(opened: Open) -> None:
    page = opened(LAPTOP)
    steps.bring_session(page, "maud")
    steps.score_fat(page, clicks=2)
    kept = page.request.get(f"/api/v1/assessments/?horse={cast.ref('Teasel')}").json()["results"]
    assert [each["overall"] for each in kept] == ["4.17"]
    assert page.url.endswith(f"/assessments/{kept[0]['id']}/")
