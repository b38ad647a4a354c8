"""Every page is clean by axe (WCAG 2.2 A and AA and its best practices), on phone and laptop.

It fits a phone with text of twice the size too, under a head that keeps to one line.

The pages are the GET rows of ``tests/doors/pages.py``, which every route of the URLconf must have;
each is read by the first of its row who may.
"""

import re
from collections.abc import Iterator
from typing import Any

import pytest
from axe_playwright_python.base import AXE_SCRIPT
from playwright.sync_api import Page

from tests.browser import steps
from tests.browser.conftest import LAPTOP, PHONE, SIZES, Open, size_name
from tests.doors import knocking, scene
from tests.doors.pages import PAGES
from tests.doors.pages_accounts import OF_A_FACTOR
from tests.outside import EXACT, outside

# Signing in is looked at before anybody is signed in, below; the rest is no page of ours.
APART = {
    *("account_login", "account_logout", "mfa_authenticate", "health_live", "health_ready"),
    *("yards:arrive", "yards:join", "account_confirm_email", "account_inactive"),
    *OF_A_FACTOR,
    *("mfa_edit_webauthn", "mfa_remove_webauthn"),
    *("mfa_reauthenticate", "mfa_reauthenticate_webauthn"),
    *("scoring:worker", "scoring:manifest", "scoring:facing"),
    *("scoring:readings_csv", "scoring:readings_json"),
    *("scoring:herd_csv", "scoring:herd_seasons_csv", "scoring:herd_shares_csv"),
    "scoring:herd_due_csv",
}
READERS = ("isolde", "keziah", "hollis")
AXE = "axe.run({resultTypes: ['violations']})"
# Contrast is more than half of what axe costs, and the same in each size: the large one shows most.
BUT_CONTRAST = "axe.run({resultTypes: ['violations'], rules: {'color-contrast': {enabled: false}}})"
WIDER = "document.documentElement.scrollWidth - window.innerWidth"
LARGE = "document.documentElement.style.fontSize = '200%'"
# The bar's own height, for one line of things to press and a line of text beside them.
ONE_LINE = 60
# Forms sent empty come back with their faults, links to them and the marked fields.
PUT_RIGHT = (
    *("yards:add_horse", "yards:add_yard", "yards:issue_grant"),
    *("scoring:weigh", "scoring:concern"),
)


@pytest.fixture
def made(spring: None) -> scene.Scene:
    """A little of everything, made before the browser starts."""
    return scene.build()


def plan(there: scene.Scene) -> Iterator[tuple[str, str]]:
    """Who looks at which address: each page once, and what else its row does not say."""
    for row in PAGES:
        if row.method == "GET" and row.name not in APART:
            reader = next(key for key in READERS if row.expected[key] == 200)
            yield reader, knocking.path_of(row, there)
    yield "isolde", "/horses/?state=gone"
    yield "isolde", "/alerts/?state=resolved"
    yield "isolde", "/people/?state=over"
    # What only a vet may do there.
    yield "keziah", "/visit/"
    yield "keziah", f"/horses/{there['Teasel']}/"
    # What somebody looks at who may change nothing.
    yield "hollis", f"/record/{there['entry']}/"
    yield "hollis", f"/assessments/{there['assessment']}/"


def read_out(opened: Open) -> Page:
    """A browser's page that carries axe's script into each document, sent once."""
    page = opened()
    page.context.add_init_script(AXE_SCRIPT)
    return page


def bar(page: Page) -> float:
    """How high the bar of a page is; the scoring page has a head of its own."""
    found = page.locator("header.bar")
    box = found.bounding_box() if found.count() else None
    return box["height"] if box is not None else 0


def large_faults(page: Page, where: str) -> list[str]:
    """What is wrong with it on a phone when its text is made twice as large."""
    page.set_viewport_size({"width": PHONE[0], "height": PHONE[1]})
    page.evaluate(LARGE)
    high, wide = bar(page), page.evaluate(WIDER)
    page.evaluate("document.documentElement.style.fontSize = ''")
    if high <= ONE_LINE and wide <= 0:
        return []
    return [f"{where} at 200%: bar {high}px high, {wide}px wider than the screen"]


def faults(page: Page, where: str) -> list[str]:
    """What is wrong with the document that is open, in each size; it is loaded once."""
    found = large_faults(page, where)
    for size in SIZES:
        page.set_viewport_size({"width": size[0], "height": size[1]})
        wide = page.evaluate(WIDER)
        if wide > 0:
            found.append(f"{where} {size_name(size)}: {wide}px wider than the screen")
        response: dict[str, Any] = page.evaluate(AXE if size == LAPTOP else BUT_CONTRAST)
        found += [
            f"{where} {size_name(size)}: {each['id']}: {node['html'][:200]}"
            for each in response["violations"]
            for node in each["nodes"]
        ]
    return found


def visited(page: Page, path: str, status: int = 200) -> list[str]:
    """Go to an address and return what is wrong there."""
    answer = page.goto(path)
    assert answer is not None
    assert answer.status == status, path
    return faults(page, path)


@outside(
    "every page is accessible", source="WCAG 2.2 A and AA, as axe-core tests them", status=EXACT
)
@pytest.mark.parametrize("reader", READERS)
@pytest.mark.long
def test_axe_finds_nothing_on_any_page(made: scene.Scene, opened: Open, reader: str) -> None:
    paths = [path for key, path in plan(made) if key == reader]
    assert paths
    page = read_out(opened)
    steps.bring_session(page, reader)
    assert [fault for path in paths for fault in visited(page, path)] == []


@outside(
    "forms that come back with faults are accessible",
    source="WCAG 2.2 A and AA, as axe-core tests them",
    status=EXACT,
)
def test_axe_finds_nothing_on_forms_that_come_back(made: scene.Scene, opened: Open) -> None:
    page = read_out(opened)
    found = visited(page, "/accounts/login/")
    steps.bring_session(page, "isolde")
    sent = {row.name: knocking.path_of(row, made) for row in PAGES if row.method == "POST"}
    buttons = {sent[name]: "main form.panel button[type=submit]" for name in PUT_RIGHT}
    buttons[f"/alerts/{made['danger_signs']}/"] = "section[aria-labelledby=ack] button"
    for path, button in buttons.items():
        page.goto(path)
        if page.locator("[name=next_step]").count():
            page.fill("[name=next_step]", "")  # a vet's word may stand there
        page.click(button)
        page.wait_for_selector("#faults")
        found += faults(page, f"{path} put right")
    assert found == []


@outside(
    "answers of forms are accessible",
    source="WCAG 2.2 A and AA, as axe-core tests them",
    status=EXACT,
)
def test_axe_finds_nothing_on_answers_of_their_own(made: scene.Scene, opened: Open) -> None:
    page = read_out(opened)
    steps.bring_session(page, "isolde")
    # A reading just saved, as its answer comes.
    steps.score_fat(page)
    found = faults(page, "scored")
    # The only page that shows a token's secret is an answer to its form.
    page.goto("/tokens/add/")
    page.fill("input[name=label]", "Barn phone")
    page.click("main form.panel button[type=submit]")
    page.wait_for_selector(".secret")
    found += faults(page, "a token's secret")
    # Errors, in a page of their own: a browser notes them in its console, as it should.
    other = page.context.new_page()
    found += visited(other, f"/horses/{scene.fresh('nobody')}/", 404)
    found += visited(other, f"/horses/{made['Teasel']}/order/", 403)
    assert found == []


def test_axe_is_there_and_finds_what_is_wrong(made: scene.Scene, opened: Open) -> None:
    page = read_out(opened)
    page.goto("/accounts/login/")
    page.evaluate("document.querySelector('input[type=email]').labels[0].remove()")
    page.evaluate("document.querySelector('h1').style.width = '2000px'")
    page.evaluate("document.querySelector('h1').style.color = '#eee'")
    told = faults(page, "login")
    assert any("label" in each for each in told)
    assert any("color-contrast" in each for each in told)
    assert any(re.search(r"390x844: \d+px wider", each) for each in told)
