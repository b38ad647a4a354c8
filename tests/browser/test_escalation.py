"""A coordinator who has never done it changes who is told, reads the timetable, and saves it."""

from playwright.sync_api import expect

from tests.browser import steps
from tests.browser.conftest import Open
from tests.browser.test_accessible import faults, read_out
from tests.doors import scene


def test_a_ladder_is_changed_seen_and_saved(spring: None, opened: Open) -> None:
    scene.build()
    page = read_out(opened)
    steps.sign_in(page, "isolde")
    page.goto("/alerts/")
    page.get_by_role("link", name="Who is told, and when").click()
    page.get_by_role("link", name="Change Now").click()
    third = page.get_by_role("group", name="Step 3")
    third.get_by_label("How long after the alert opened").select_option(label="After 1 hour")
    third.get_by_label("Besides, by name").select_option(label="Maud Pell (assessor)")
    third.get_by_label("Assessors").check()
    page.get_by_label("Reason", exact=True).fill("Somebody always answers then")
    page.get_by_role("button", name="See who would be told when").click()
    preview = page.locator("#preview")
    expect(preview).to_contain_text("After 1 hour: assessors and Maud Pell")
    found = faults(page, "a ladder's timetable")
    page.get_by_role("button", name="Save this change").click()
    expect(page.get_by_role("status")).to_contain_text("Saved.")
    expect(page.locator("#stands + p")).to_contain_text("At once: coordinators and vets.")
    assert found == []
