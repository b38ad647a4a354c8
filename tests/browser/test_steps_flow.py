"""The form a step at a time: forward, back, by the phone's button, by keyboard, by faults."""

import re

import pytest
from playwright.sync_api import Page, expect

from tests.browser import scoring, steps
from tests.browser.conftest import LAPTOP, PHONE, Open
from tests.outside import EXACT, outside

HELD = "document.activeElement.textContent.replace(/\\s+/g, ' ').trim()"
ACROSS = "all => all.map((each) => each.getBoundingClientRect()).map((it) => `${it.x} ${it.width}`)"
CASES = [("Teasel", "", scoring.FIVE), ("Teasel", "?scale=nine", scoring.WHOLE)]
CASES.append(("Wagtail", "", scoring.WHOLE))


@pytest.mark.parametrize(("horse", "query", "names"), CASES, ids=["five", "nine", "donkey"])
def test_each_step_has_its_heading_and_says_how_far_it_is(
    opened: Open, horse: str, query: str, names: tuple[str, ...]
) -> None:
    page = opened(PHONE)
    scoring.begin(page, horse, query=query)
    for place, name in enumerate(names, start=1):
        scoring.at(page, name)
        if place > 1:
            said = f"Step {place} of {len(names)} {scoring.TITLES[name]}"
            assert page.evaluate(HELD).startswith(said)
        if name == "overall":
            scoring.key(page, "overall", "3.0")
        elif name in scoring.REGIONS:
            scoring.key(page, f"regions.{name}", "3.0")
        if name != "summary":
            scoring.next_step(page)
    expect(page.locator("[data-sum=lead]")).to_have_text("3.00")
    page.click("text=Save score")
    page.wait_for_url("**/assessments/*/")
    expect(page.locator(".big")).to_contain_text("3.00")


def test_what_it_comes_to_is_what_the_server_makes_of_it(opened: Open) -> None:
    page = opened(PHONE)
    scoring.begin(page)
    for region, score in zip(scoring.REGIONS, ("3.5", "4.5", "4.0"), strict=True):
        scoring.next_step(page)
        scoring.key(page, f"regions.{region}", score)
        if region == "back_and_ribs":
            steps.choose(page, "fat_pocket", "marked")
    scoring.next_step(page)
    scoring.to_summary(page)
    expect(page.locator("[data-sum=lead]")).to_have_text("4.17")
    expect(page.locator("[data-sum=what]")).to_have_text("overall, nearest half 4")
    told = page.locator("[data-sum=regions]")
    counted = r"5 ?Fattest ?4½ felt, \+½ for the marked pocket = 5 counted\."
    expect(told).to_contain_text(re.compile(counted))
    # A word beside one region moves neither its number nor its beam.
    for part in ("dd > b", ".beam"):
        assert len(set(told.locator(part).evaluate_all(ACROSS))) == 1, part
    assert told.get_by_text("Fattest").count() == 1
    expect(page.locator("[data-sum=found]")).to_contain_text("Fat pocket behind shoulder: marked")
    expect(page.locator("[data-sum=tie]")).to_be_hidden()
    expect(page.locator("[data-sum=pelvis]")).to_contain_text("Pelvis-led 4½")
    # Said at the foot of every page, so not once more just above it.
    assert page.locator("main, footer").get_by_text("It is not a diagnosis.").count() == 1
    page.click("text=Save score")
    page.wait_for_url("**/assessments/*/")
    expect(page.locator(".big")).to_contain_text("4.17")
    expect(page.locator("main")).to_contain_text("Pelvis-led 4½")


def test_the_usual_horse_takes_ten_taps_and_all_of_it_is_shown_back(opened: Open) -> None:
    page = opened(PHONE)
    page.context.add_init_script("taps = 0; addEventListener('pointerdown', () => { taps += 1; })")
    scoring.begin(page)
    page.locator("label:has(#looked_for_danger)").click()
    scoring.score_all(page, ("3.0", "3.5", "3.5"))
    scoring.next_step(page)
    assert page.evaluate("taps") == 9
    told = page.locator("[data-step=summary]")
    expect(told).to_contain_text("Fattest: back and ribs and hindquarters, equal")
    assert told.get_by_text("Fattest").count() == 1
    steps.to(page, "hindquarters")
    steps.choose(page, "findings.rump", "rounded")
    steps.to(page, "summary")
    expect(told).to_contain_text("Rump beside the spine: rounded")
    expect(told).to_contain_text("Looked, none seen")


def test_a_region_wants_a_score_or_not_safe_before_the_next(opened: Open) -> None:
    page = opened(PHONE)
    scoring.begin(page)
    scoring.next_step(page)
    scoring.next_step(page)
    scoring.at(page, "neck_and_shoulder")
    expect(page.locator("[data-wanting]")).to_contain_text("Not safe to palpate")
    assert page.evaluate("document.activeElement.name") == "regions.neck_and_shoulder"
    pad = page.locator("[data-step=neck_and_shoulder] label.pad")
    below = page.locator("[data-step=neck_and_shoulder] label.key").first
    before = below.bounding_box()
    pad.click()
    expect(page.locator("[data-wanting]")).to_be_empty()
    # A second tap takes it back; neither moves the keys.
    pad.click()
    expect(pad.locator("input")).not_to_be_checked()
    assert below.bounding_box() == before
    pad.click()
    expect(pad.locator("input")).to_be_checked()
    scoring.next_step(page)
    scoring.at(page, "back_and_ribs")


def test_the_phones_back_button_goes_one_step_back_and_loses_nothing(opened: Open) -> None:
    page = opened(PHONE)
    scoring.begin(page)
    scoring.score_all(page)
    for name in ("hindquarters", "back_and_ribs"):
        page.go_back()
        scoring.at(page, name)
    assert page.url.endswith("#step=back_and_ribs")
    expect(page.locator("input[name='regions.back_and_ribs'][value='5.0']")).to_be_checked()
    page.go_forward()
    scoring.at(page, "hindquarters")
    page.click("[data-back]")
    page.click("[data-back]")
    scoring.at(page, "neck_and_shoulder")
    expect(page.locator("input[name='regions.neck_and_shoulder'][value='3.5']")).to_be_checked()


@outside(
    "a horse is scored a step at a time by keyboard alone",
    source="WCAG 2.2, success criterion 2.1.1",
    status=EXACT,
)
def test_the_ruler_answers_its_keys_and_enter_goes_on(opened: Open) -> None:
    page = opened(PHONE)
    scoring.begin(page)
    steps.tab_to(page, "it.matches('[data-danger]')")
    page.keyboard.press("Enter")
    expect(page.locator("dialog[data-signs]")).to_be_visible()
    steps.tab_to(page, "it.matches('[data-close]')")
    page.keyboard.press("Enter")
    steps.tab_to(page, "it.matches('[data-next]')")
    page.keyboard.press("Enter")
    for region, keys in zip(scoring.REGIONS, (["3", "h"], ["End"], ["4"]), strict=True):
        steps.tab_to(page, f"it.name === 'regions.{region}'")
        for each in keys:
            page.keyboard.press(each)
        page.keyboard.press("Enter")
    scoring.at(page, "weight")
    scoring.to_summary(page)
    expect(page.locator("[data-sum=lead]")).to_have_text("4.17")


def test_faults_of_the_server_lead_to_their_step(opened: Open) -> None:
    page = opened(LAPTOP)
    scoring.begin(page)
    scoring.score_all(page)
    steps.choose(page, "weighing.method", "weigh_tape")
    page.fill("[name='weighing.weight_kg']", "heavy")
    scoring.to_summary(page)
    page.click("text=Save score")
    expect(page.locator("#faults")).to_be_focused()
    scoring.at(page, "weight")
    # What was typed stands, though the phone's draft is older than the server's answer.
    expect(page.locator("[name='weighing.weight_kg']")).to_have_value("heavy")
    steps.to(page, "look")
    page.click("#faults a")
    scoring.at(page, "weight")
    expect(page.locator("[name='weighing.weight_kg']")).to_be_focused()


def seen_sheet(page: Page) -> None:
    page.click("[data-danger]")
    expect(page.locator("dialog[data-signs]")).to_be_visible()


def test_danger_signs_are_one_tap_away_at_every_step_without_a_connection(opened: Open) -> None:
    page = opened(PHONE)
    scoring.begin(page)
    page.context.set_offline(True)
    for name in scoring.FIVE:
        scoring.at(page, name)
        seen_sheet(page)
        sheet = page.locator("dialog[data-signs]")
        expect(sheet).to_contain_text("stop scoring and phone the vet now")
        expect(sheet.locator("a[href='tel:01632960118']")).to_be_visible()
        page.keyboard.press("Escape")
        expect(sheet).to_be_hidden()
        expect(page.locator("[data-danger]")).to_be_focused()
        if name in scoring.REGIONS:
            scoring.key(page, f"regions.{name}", "3.0")
        if name == "hindquarters":
            # Answers of the sentences that the sum asks for are no part of this.
            page.context.set_offline(False)
        if name != "summary":
            scoring.next_step(page)


def test_a_sign_seen_ends_the_scoring_with_a_full_answer(opened: Open) -> None:
    page = opened(PHONE)
    scoring.begin(page)
    scoring.next_step(page)
    seen_sheet(page)
    page.locator("label:has(#looked_for_danger)").click()
    page.locator("label:has([value=cannot_rise])").click()
    expect(page.locator("#looked_for_danger")).not_to_be_checked()
    page.click("[data-stop]")
    scoring.at(page, "summary")
    expect(page.locator("[data-sum=lead]")).to_have_text("No overall score")
    expect(page.locator("[data-sum=facts]")).to_contain_text("1 seen: phone the vet now")
    page.click("text=Save score")
    page.wait_for_url("**/assessments/*/")
    expect(page.locator("main")).to_contain_text("Down, cannot get up")


def test_an_unanswered_danger_list_is_told_and_looked_is_an_answer_of_its_own(
    opened: Open,
) -> None:
    page = opened(PHONE)
    scoring.begin(page)
    scoring.score_all(page)
    scoring.to_summary(page)
    expect(page.locator("[data-sum=facts]")).to_contain_text("Not answered")
    page.click("[data-sum=facts] a")
    scoring.at(page, "look")
    page.locator("label:has(#looked_for_danger)").click()
    steps.to(page, "summary")
    expect(page.locator("[data-sum=facts]")).to_contain_text("Looked, none seen")


def test_the_estimate_by_eye_is_out_of_sight_once_hands_are_on(opened: Open) -> None:
    page = opened(PHONE)
    scoring.begin(page)
    steps.unfold(page, "[name=by_eye]")
    page.select_option("[name=by_eye]", "4.5")
    scoring.next_step(page)
    page.click("[data-back]")
    scoring.at(page, "look")
    expect(page.locator("[name=by_eye]")).to_be_hidden()
    expect(page.locator("[data-eye-kept]")).to_be_visible()
    scoring.score_all(page)
    scoring.to_summary(page)
    page.click("text=Save score")
    page.wait_for_url("**/assessments/*/")
    expect(page.locator("main")).to_contain_text("4½, before hands were laid on")


def test_all_that_is_noted_besides_the_score_is_kept(opened: Open) -> None:
    page = opened(PHONE)
    scoring.begin(page)
    scoring.next_step(page)
    page.click("[data-step=neck_and_shoulder] .more")
    page.select_option("[name=crest]", "2.5")
    page.keyboard.press("Escape")
    for region in scoring.REGIONS:
        scoring.key(page, f"regions.{region}", "3.0")
        scoring.next_step(page)
    steps.choose(page, "weighing.method", "weighbridge")
    page.fill("[name='weighing.weight_kg']", "431.5")
    page.click("text=Weighing details")
    page.select_option("[name='weighing.fed']", "before_feed")
    steps.unfold(page, "[name=note]")
    asked = {"appetite": "some", "muscle": "some_loss", "coat": "clipped", "rug_off": "true"}
    for name, value in asked.items():
        steps.choose(page, name, value)
    # Who held is asked by name once somebody did.
    expect(page.locator("[name=held_by]")).to_be_hidden()
    steps.choose(page, "held", "somebody")
    expect(page.locator("[name=held_by]")).to_be_focused()
    said = {"held_by": "Jonty Farr", "limits": "Poor light", "note": "Stood well."}
    for name, text in said.items():
        page.fill(f"[name={name}]", text)
    scoring.next_step(page)
    # Shown back before it is saved, and on the page of the score.
    shown = ("2½", "Leaves some", "Some wasting", "Clipped", "Rug off", *said.values())
    for text in shown:
        expect(page.locator("[data-sum=facts]")).to_contain_text(text)
    page.click("text=Save score")
    page.wait_for_url("**/assessments/*/")
    for text in shown:
        expect(page.locator("main")).to_contain_text(text)
    kept = page.request.get(page.url.replace("/assessments/", "/api/v1/assessments/")).json()
    assert {name: kept[name] for name in asked} == {**asked, "rug_off": True}
    assert {name: kept[name] for name in said} == said
    assert kept["crest"] == "2.5"
    weighed = kept["weighing"]
    assert (weighed["method"], weighed["weight_kg"]) == ("weighbridge", "431.5")
