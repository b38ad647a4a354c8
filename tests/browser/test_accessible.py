"""Every page is clean by axe (WCAG 2.2 A and AA and its best practices), on phone and laptop."""

from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page

from tests.browser import steps
from tests.browser.conftest import SIZES, Open, size_name


def _faults(page: Page) -> list[tuple[str, str]]:
    found: list[dict[str, Any]] = Axe().run(page).response["violations"]
    return [(each["id"], node["html"][:200]) for each in found for node in each["nodes"]]


@pytest.mark.parametrize("size", SIZES, ids=size_name)
def test_axe_finds_nothing(opened: Open, size: tuple[int, int]) -> None:
    page = opened(size)
    page.goto("/accounts/login/")
    assert not _faults(page)
    steps.sign_in(page, "isolde")
    steps.score_fat(page)
    answer = page.url
    alert = page.locator("a:has-text('Read alert')").first.get_attribute("href")
    assert alert is not None
    for path in (answer, "/", steps.TEASEL, alert, "/alerts/"):
        page.goto(path)
        assert not _faults(page), path
    # The forms as they come back to be put right.
    page.goto(steps.TEASEL)
    page.click("text=Save score")
    page.wait_for_selector("#faults")
    assert not _faults(page)
    page.goto(alert)
    page.click("main form:has-text('By when') button")
    page.wait_for_selector("#faults")
    assert not _faults(page)
