"""The weight step: only what the chosen way asks, and the formula's answer as the server has it."""

from datetime import UTC, datetime, timedelta
from decimal import Decimal

import pytest
from playwright.sync_api import expect

from scoring.actions import assessments
from scoring.rules import weight
from tests import readings
from tests.browser import scoring, steps
from tests.browser.conftest import PHONE, Open
from tests.conftest import viewer_of
from yards import isolation

KG = "[name='weighing.weight_kg']"
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


@pytest.fixture
def weighed_before(database: str) -> None:
    """Teasel was scored and weighed three weeks ago."""
    then = datetime.now(UTC) - timedelta(days=21)
    viewer = viewer_of("tobias")
    with isolation.of(viewer):
        taken = {"method": "weigh_tape", "weight_kg": "410"}
        raw = readings.raw("Teasel", then, "3.0", "3.0", "3.0", weighing=taken)
        assessments.record_assessment(viewer, raw, now=then)


def test_a_weight_far_from_the_last_is_asked_about_at_once_and_its_tick_puts_it_right(
    weighed_before: None, opened: Open
) -> None:
    page = opened(PHONE)
    asked: list[str] = []
    page.on("request", lambda each: asked.append(each.url) if "/after/" in each.url else None)
    scoring.begin(page)
    scoring.score_all(page)
    assert asked == []  # the last weight would sway the hand
    steps.choose(page, "weighing.method", "weigh_tape")
    page.keyboard.type("210")
    # Nothing else is pressed: it is asked on the step, beside its tick, and takes no focus.
    question = page.locator("[data-far]")
    expect(question).to_contain_text("Last time 410 kg on")
    expect(question.locator("[name=weight_is_right]")).not_to_be_checked()
    expect(page.locator(KG)).to_be_focused()
    page.fill(KG, "405")
    expect(question).to_have_count(0)
    page.fill(KG, "210")
    scoring.next_step(page)
    expect(question).to_be_focused()
    scoring.at(page, "weight")
    steps.choose(page, "held", "nobody")
    # Passed over, it is asked again in the sum, and by the server.
    scoring.next_step(page)
    expect(page.locator("[data-sum=facts]")).to_contain_text("Is the weight right?")
    expect(page.locator("[data-sum=facts]")).to_contain_text("Nobody")
    page.click("text=Save score")
    expect(page.locator("#faults")).to_contain_text("1 thing to put right")
    scoring.at(page, "weight")
    expect(question).to_be_visible()
    question.locator("label").click()
    expect(page.locator("#faults")).to_have_count(0)
    expect(page.locator("[data-step=weight] .fault[id]")).to_have_count(0)
    scoring.to_summary(page)
    expect(page.locator("[data-sum=facts]")).not_to_contain_text("Is the weight right?")
    page.click("text=Save score")
    page.wait_for_url("**/assessments/*/")
    told = page.locator("section[aria-labelledby=noted]")
    expect(told).to_contain_text("210 kg, weigh tape")
    expect(told).to_contain_text("Nobody")
