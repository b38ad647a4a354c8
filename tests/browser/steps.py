"""What people do on the pages, by pointer or by keyboard alone."""

from playwright.sync_api import Page

from tests import cast

TEASEL = f"/horses/{cast.ref('Teasel')}/score/"
FOCUSED = "document.activeElement"


def sign_in(page: Page, key: str) -> None:
    """Sign somebody in and arrive at the board."""
    page.goto("/accounts/login/")
    page.fill("input[type=email]", f"{key}@example.org")
    page.fill("input[type=password]", cast.PASSWORD)
    page.click("main button[type=submit]")
    page.wait_for_url("**/")


def tab_to(page: Page, true: str) -> None:
    """Press Tab until a condition holds of ``it``, the focused element; nothing else is used."""
    for _ in range(200):
        page.keyboard.press("Tab")
        if page.evaluate(f"(() => {{ const it = {FOCUSED}; return Boolean({true}); }})()"):
            return
    raise AssertionError(f"no way by Tab to {true}")


def score(page: Page, *, region: str, value: str) -> None:
    """Choose a score by pointer, on its label as a thumb would."""
    page.locator(f"label.key:has(input[name='regions.{region}'][value='{value}'])").click()


def score_fat(page: Page, *, clicks: int = 1) -> None:
    """Enter 3.5, 5 and 4 by pointer and save, with as many clicks."""
    page.goto(TEASEL)
    score(page, region="neck_and_shoulder", value="3.5")
    score(page, region="back_and_ribs", value="5.0")
    score(page, region="hindquarters", value="4.0")
    page.click("text=Save score", click_count=clicks)
    page.wait_for_url("**/assessments/*/")
