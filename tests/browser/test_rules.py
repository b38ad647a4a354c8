"""A coordinator tries a rule on the house's own year, saves it, and makes an exception."""

from playwright.sync_api import expect

from tests import cast
from tests.browser import steps
from tests.browser.conftest import Open
from tests.browser.test_accessible import faults, read_out
from tests.doors import scene
from tests.outside import EXACT, outside


@outside(
    "a rule's preview and an exception to it are accessible",
    source="WCAG 2.2 A and AA, as axe-core tests them",
    status=EXACT,
)
def test_a_rule_is_tried_then_saved(spring: None, opened: Open) -> None:
    scene.build()
    page = read_out(opened)
    steps.sign_in(page, "isolde")
    page.goto("/rules/")
    page.get_by_role("link", name="Fat in spring", exact=True).click()
    found = faults(page, "a rule")
    page.get_by_label("Overall, to the nearest half, on the 0 to 5 scale").select_option("4.5")
    page.get_by_label("Reason", exact=True).fill("Our vet asks for it")
    page.get_by_role("button", name="See what it would have meant").click()
    preview = page.locator("#preview")
    expect(preview).to_contain_text("1 alert on 1 horse, 1 of them in spring")
    found += faults(page, "a preview")
    page.get_by_role("button", name="Save this change").click()
    expect(page.get_by_role("status")).to_contain_text("Every horse is being judged anew")
    expect(page.locator("#counts + table")).to_contain_text("the organisation's own")
    page.goto(f"/rules/fat/horses/{cast.ref('Teasel')}/")
    found += faults(page, "an exception")
    assert found == []
