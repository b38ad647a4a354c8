"""Unfinished work survives: reloading, killing the browser, and somebody else on the same phone."""

import contextlib
from pathlib import Path

from playwright.sync_api import Error, Page, Playwright, expect

from tests.browser import phones, scoring, steps
from tests.browser.conftest import PHONE, Open


def half_scored(page: Page) -> None:
    """Leave a horse in the middle: two regions, findings, a sign that was looked for, a note."""
    page.locator("label:has(#looked_for_danger)").click()
    scoring.next_step(page)
    steps.choose(page, "findings.crest", "slight")
    scoring.key(page, "regions.neck_and_shoulder", "3.5")
    scoring.next_step(page)
    scoring.key(page, "regions.back_and_ribs", "4.5")
    steps.choose(page, "fat_pocket", "marked")


def is_half_scored(page: Page) -> None:
    scoring.at(page, "back_and_ribs")
    expect(page.locator("#looked_for_danger")).to_be_checked()
    expect(page.locator("[name='findings.crest'][value=slight]")).to_be_checked()
    expect(page.locator("input[name='regions.neck_and_shoulder'][value='3.5']")).to_be_checked()
    expect(page.locator("input[name='regions.back_and_ribs'][value='4.5']")).to_be_checked()
    expect(page.locator("[name=fat_pocket][value=marked]")).to_be_checked()
    expect(page.locator("[data-brought]")).to_contain_text("Brought back")


def test_a_reload_brings_back_step_and_answers(opened: Open) -> None:
    page = opened(PHONE)
    scoring.begin(page)
    half_scored(page)
    page.reload()
    steps.ready(page)
    is_half_scored(page)
    # The suggestion is worked out again from what was brought back; that it was is said no more.
    steps.to(page, "neck_and_shoulder")
    expect(page.locator("[data-brought]")).to_be_hidden()
    expect(page.locator("output[data-suggests='neck_and_shoulder']")).to_contain_text(
        "Suggests about 4"
    )


def test_killing_the_browser_in_the_middle_of_a_horse_brings_back_that_step(
    playing: Playwright, served: str, tmp_path: Path
) -> None:
    phone = phones.switched_on(playing, tmp_path / "phone", served)
    page = phone.new_page()
    scoring.begin(page)
    half_scored(page)
    cookies = phone.cookies()
    steps.until(
        page,
        """async () => (await (await import("/static/scoring/round/drafts.js")).all())
            .some((draft) => draft.values.fat_pocket === "marked")""",
    )
    with contextlib.suppress(Error):  # it dies of it, as it should
        phone.new_cdp_session(page).send("Browser.crash")
    again = phones.switched_on(playing, tmp_path / "phone", served)
    again.add_cookies(cookies)  # type: ignore[arg-type]
    page = again.new_page()
    page.goto(scoring.path("Teasel"))
    steps.ready(page)
    is_half_scored(page)
    again.close()


def test_begun_anew_it_is_a_fresh_form(opened: Open) -> None:
    page = opened(PHONE)
    scoring.begin(page)
    half_scored(page)
    before = page.input_value("[name=id]")
    page.reload()
    steps.ready(page)
    assert page.input_value("[name=id]") == before
    page.click("[data-brought] button")
    page.wait_for_function("id => document.querySelector('[name=id]')?.value !== id", arg=before)
    steps.ready(page)
    scoring.at(page, "look")
    assert page.locator("[data-step] .keys input:checked").count() == 0
    expect(page.locator("[data-brought]")).to_be_hidden()


def test_a_saved_score_leaves_no_draft_behind(opened: Open) -> None:
    page = opened(PHONE)
    scoring.begin(page)
    scoring.score_all(page)
    scoring.to_summary(page)
    page.click("text=Save score")
    page.wait_for_url("**/assessments/*/")
    steps.until(
        page,
        """async () => !(await (await import("/static/scoring/round/drafts.js")).all()).length""",
    )
    # Back on the form it is none any more: what it came to stands, and that it is saved.
    answer = page.url
    page.go_back()
    steps.ready(page)
    scoring.at(page, "summary")
    expect(page.locator("[data-sum=lead]")).to_have_text("4.17")
    expect(page.locator("[data-sum=kept]")).to_have_text("Saved in Halfpoint.")
    expect(page.locator("[data-bar]")).to_be_hidden()
    page.click("text=Read what it came to")
    page.wait_for_url(answer)
    page.goto(scoring.path("Teasel"))
    steps.ready(page)
    scoring.at(page, "look")
    expect(page.locator("[data-brought]")).to_be_hidden()


def test_a_form_that_was_only_opened_is_no_unfinished_score(opened: Open) -> None:
    page = opened(PHONE)
    scoring.begin(page)
    page.wait_for_timeout(300)
    page.reload()
    steps.ready(page)
    expect(page.locator("[data-brought]")).to_be_hidden()


def test_somebody_else_on_this_phone_begins_with_an_empty_form(opened: Open) -> None:
    page = opened(PHONE)
    scoring.begin(page, by="maud")
    half_scored(page)
    page.context.clear_cookies()
    scoring.begin(page, by="tobias")
    scoring.at(page, "look")
    assert page.locator("[data-step] .keys input:checked").count() == 0
    # Nor is what the first left undone written over.
    page.locator("label:has(#looked_for_danger)").click()
    page.context.clear_cookies()
    scoring.begin(page, by="maud")
    is_half_scored(page)
