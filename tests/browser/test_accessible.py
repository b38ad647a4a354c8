"""Every page is clean by axe (WCAG 2.2 A and AA and its best practices), on phone and laptop."""

import re
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page

from tests import cast
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


HORSE = f"/horses/{cast.ref('Teasel')}/"
YARD = f"/yards/{cast.ref('Top Barn')}/"
OF_COORDINATOR = (
    *("/due/", "/horses/", "/horses/?state=gone", "/horses/add/", HORSE, "/settings/"),
    *(f"{HORSE}{way}/" for way in ("facts", "move", "events/add", "identify", "weigh", "concern")),
    *(f"{HORSE}{way}/" for way in ("readings", "weights")),
    *("/people/", "/people/add/", "/tokens/", "/tokens/add/", "/yards/", "/yards/add/", YARD),
    "/record/",
)
# Forms sent empty: the faults, their links and the marked fields.
PUT_RIGHT = ("/horses/add/", f"{HORSE}weigh/", f"{HORSE}concern/", "/people/add/", "/yards/add/")


@pytest.mark.parametrize("size", SIZES, ids=size_name)
def test_axe_finds_nothing_on_the_pages_of_the_house(opened: Open, size: tuple[int, int]) -> None:
    page = opened(size)
    steps.sign_in(page, "isolde")
    steps.score_fat(page)
    answer = page.url
    entries = re.findall(r'href="(/record/[0-9a-f-]{36}/)"', page.request.get("/record/").text())
    found = {}
    for path in (*OF_COORDINATOR, f"{answer}correct/", entries[0]):
        page.goto(path)
        found[path] = _faults(page)
        wide = page.evaluate("document.documentElement.scrollWidth - window.innerWidth")
        assert wide <= 0, f"{path} is wider than the screen by {wide}px"
    for path in PUT_RIGHT:
        page.goto(path)
        page.click("main form.panel button[type=submit]")
        page.wait_for_selector("#faults")
        found[f"{path} put right"] = _faults(page)
    assert not {path: faults for path, faults in found.items() if faults}


def test_axe_finds_nothing_on_a_vets_order(opened: Open) -> None:
    page = opened(SIZES[0])
    steps.sign_in(page, "keziah")
    page.goto(f"{HORSE}order/")
    assert not _faults(page)
