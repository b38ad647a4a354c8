"""What people do on the pages, by pointer or by keyboard alone."""

import time
from concurrent.futures import ThreadPoolExecutor
from typing import Any

from django.conf import settings
from django.db import connections
from playwright.sync_api import Page, expect

from tests import cast, signing

TEASEL = f"/horses/{cast.ref('Teasel')}/score/"
HOST = "127.0.0.1"
FOCUSED = "document.activeElement"


def bring_session(page: Page, key: str) -> None:
    """Let a browser be somebody's who signed in before; it need not be on any page of ours yet."""
    # Beside it, since a thread that drives a browser may not ask the database.
    with ThreadPoolExecutor(1) as beside:
        value = beside.submit(_session, key).result()
    name = settings.SESSION_COOKIE_NAME
    page.context.add_cookies([{"name": name, "value": value, "domain": HOST, "path": "/"}])


def _session(key: str) -> str:
    try:
        client = signing.signed_in(key)
        return client.cookies[settings.SESSION_COOKIE_NAME].value
    finally:
        connections.close_all()


def sign_in(page: Page, key: str) -> None:
    """Bring somebody's session and arrive at the board."""
    bring_session(page, key)
    page.goto("/")


def sign_in_by_form(page: Page, key: str) -> None:
    """Sign somebody in as people do, and arrive at the board."""
    page.goto("/accounts/login/")
    page.fill("input[type=email]", f"{key}@example.org")
    page.fill("input[type=password]", cast.PASSWORD)
    page.click("main button[type=submit]")
    page.wait_for_url("**/")


def until(page: Page, told: str, arg: Any = None, *, seconds: float = 10) -> None:
    """Wait until a script says so, though it promises to; the browser's own wait takes a promise
    for a yes."""
    end = time.monotonic() + seconds
    while not page.evaluate(told, arg):
        assert time.monotonic() < end, told
        time.sleep(0.1)


def tab_to(page: Page, true: str) -> None:
    """Press Tab until a condition holds of ``it``, the focused element; nothing else is used."""
    for _ in range(260):
        page.keyboard.press("Tab")
        if page.evaluate(f"(() => {{ const it = {FOCUSED}; return Boolean({true}); }})()"):
            return
    raise AssertionError(f"no way by Tab to {true}")


def ready(page: Page) -> bool:
    """Wait until the form is shown a step at a time; without a script it is one page."""
    if not page.locator("[data-sun]").first.is_visible():
        return False
    page.wait_for_selector("form[data-ready]")
    return True


def to(page: Page, name: str) -> None:
    """Go to a step by its address, as the phone's back button does."""
    if ready(page):
        page.evaluate("name => { location.hash = `step=${name}`; }", name)
        expect(page.locator(f"[data-step={name}]")).to_be_visible()


def save(page: Page, *, clicks: int = 1) -> None:
    """Press Save where it is."""
    to(page, "summary")
    page.click("text=Save score", click_count=clicks)


def choose(page: Page, name: str, value: str) -> None:
    """Choose a finding by pointer, on its label as a thumb would."""
    page.locator(f".seg label:has(input[name='{name}'][value='{value}'])").click()


def unfold(page: Page, what: str) -> None:
    """Open the fold that holds something, if it is not open."""
    page.locator(f"details:not([open]):has({what}) > summary").click()


def score(page: Page, *, region: str, value: str) -> None:
    """Choose a score by pointer, on its label as a thumb would, in its step."""
    to(page, region)
    page.locator(f"label.key:has(input[name='regions.{region}'][value='{value}'])").click()


def score_fat(page: Page, *, clicks: int = 1) -> None:
    """Enter 3.5, 5 and 4 by pointer and save, with as many clicks."""
    page.goto(TEASEL)
    score(page, region="neck_and_shoulder", value="3.5")
    score(page, region="back_and_ribs", value="5.0")
    score(page, region="hindquarters", value="4.0")
    save(page, clicks=clicks)
    page.wait_for_url("**/assessments/*/")
