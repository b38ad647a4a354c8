"""The weight step: only what the chosen way asks, and the formula's answer as the server has it."""

from decimal import Decimal

from playwright.sync_api import expect

from scoring.rules import weight
from tests.browser import scoring, steps
from tests.browser.conftest import PHONE, Open

GIRTH, LENGTH = "weighing.measures.girth_cm", "weighing.measures.length_cm"


def test_only_what_the_chosen_way_asks_is_in_sight_and_sent(opened: Open) -> None:
    page = opened(PHONE)
    scoring.begin(page)
    scoring.score_all(page)
    kilograms = page.locator("[name='weighing.weight_kg']")
    expect(kilograms).to_be_hidden()
    steps.choose(page, "weighing.method", "weigh_tape")
    # The figure is what comes next: no tap for its field.
    expect(kilograms).to_be_focused()
    page.keyboard.type("412")
    expect(kilograms).to_have_value("412")
    expect(page.locator("[data-step=weight]")).to_contain_text("close behind the elbow")
    steps.choose(page, "weighing.method", "formula")
    expect(kilograms).to_be_hidden()
    sent = "() => [...new FormData(document.querySelector('[data-steps]')).keys()]"
    names = [each for each in page.evaluate(sent) if each.startswith("weighing.")]
    assert "weighing.weight_kg" not in names
    assert "weighing.instrument" not in names
    # Changed one's mind: the weight that was typed is still there.
    steps.choose(page, "weighing.method", "weighbridge")
    expect(kilograms).to_have_value("412")
    expect(page.locator("[name='weighing.tape_side']")).to_be_hidden()
    steps.choose(page, "weighing.method", "")
    scoring.to_summary(page)
    expect(page.locator("[data-sum=facts]")).to_contain_text("Not weighed")
    page.click("text=Save score")
    page.wait_for_url("**/assessments/*/")


def test_the_formulas_answer_is_worked_out_here_and_is_what_the_server_records(
    opened: Open,
) -> None:
    page = opened(PHONE)
    scoring.begin(page)
    scoring.score_all(page)
    steps.choose(page, "weighing.method", "formula")
    page.select_option("[name='weighing.formula']", "carroll_huntington_1988")
    made = page.locator("[data-made]")
    expect(made).to_contain_text("Still to measure: Girth, cm; Length, cm")
    page.fill(f"[name='{GIRTH}']", "180")
    page.fill(f"[name='{LENGTH}']", "139")
    expect(made).to_contain_text("seems to begin at the elbow")
    page.fill(f"[name='{LENGTH}']", "162")
    wanted = weight.estimate(
        "carroll_huntington_1988", {"girth_cm": Decimal(180), "length_cm": Decimal(162)}
    )
    expect(made.locator("b")).to_contain_text(f"About {round(wanted.weight_kg)} kg, likely within")
    expect(made).to_contain_text("not for drug doses")
    expect(page.locator(f"[id='{LENGTH}-lies']")).to_contain_text("point of the shoulder")
    scoring.to_summary(page)
    expect(page.locator("[data-sum=facts]")).to_contain_text(f"About {round(wanted.weight_kg)} kg")
    expect(page.locator("[data-sum=facts]")).to_contain_text("not for drug doses")
    page.click("text=Save score")
    page.wait_for_url("**/assessments/*/")
    expect(page.locator("main")).to_contain_text(f"{wanted.weight_kg} kg")


def test_a_donkey_is_offered_donkeys_formulas(opened: Open) -> None:
    page = opened(PHONE)
    scoring.begin(page, "Wagtail")
    scoring.next_step(page)
    scoring.key(page, "overall", "3.0")
    scoring.next_step(page)
    steps.choose(page, "weighing.method", "formula")
    pick = page.locator("[name='weighing.formula']")
    expect(pick).to_contain_text("working donkeys")
    expect(pick).not_to_contain_text("horses")
