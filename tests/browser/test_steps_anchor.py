"""Nothing anchors the hand: not in text, names or values of the page, nor over the network."""

from datetime import UTC, datetime, timedelta

import pytest
from playwright.sync_api import Page, Response, expect

from scoring.actions import assessments
from tests import cast, readings
from tests.browser import scoring, steps
from tests.browser.conftest import PHONE, Open
from tests.conftest import viewer_of
from yards import isolation

ANCHORS = ("4.33", "arget band", "above target", "Tobias", "Fat in spring", "open_alerts", "Last ")
# The whole document, head and header too: what is written, and what attributes hold.
SHOWN = "document.documentElement.textContent.replace(/\\s+/g, ' ')"
ATTRIBUTES = """[...document.querySelectorAll('*')]
  .flatMap((each) => [...each.attributes]).map(({ value }) => value).join(' ')"""
SHELL = f"/round/score/five/#{cast.ref('Teasel')}"


@pytest.fixture
def scored_before(spring: None) -> None:
    """Teasel was scored last month by somebody else, too fat for spring."""
    then = datetime.now(UTC) - timedelta(days=20)
    viewer = viewer_of("tobias")
    with isolation.of(viewer):
        raw = readings.raw("Teasel", then, "4.5", "4.5", "4.0")
        assessments.record_assessment(viewer, raw, now=then)


def taken_along(page: Page) -> None:
    """Take the round along, as the button on the round's page does."""
    yard = str(cast.ref("Top Barn"))
    page.evaluate(
        """async (yard) => (await import("/static/scoring/round/take.js")).take(yard)""", yard
    )


@pytest.mark.parametrize("path", [scoring.path("Teasel"), SHELL], ids=["page", "shell"])
def test_nothing_of_before_is_there_until_every_region_has_its_answer(
    scored_before: None, opened: Open, path: str
) -> None:
    page = opened(PHONE)
    steps.sign_in(page, "maud")
    taken_along(page)
    found: list[Response] = []
    page.on("response", lambda each: None if "/static/" in each.url else found.append(each))
    page.goto(path)
    assert steps.ready(page)
    for region in scoring.REGIONS:
        scoring.next_step(page)
        for where in (SHOWN, ATTRIBUTES):
            said = page.evaluate(where)
            assert not [word for word in ANCHORS if word in said]
        scoring.key(page, f"regions.{region}", "4.0")
    answers = [each.text() for each in found]
    assert not [word for word in ANCHORS if word in answers[0]]
    # Nothing else was asked for that could tell, not even the sentences that would tell it.
    assert not [each for each in answers[1:] if "4.33" in each or "arget band" in each]
    with page.expect_response("**/round/facing/"):
        scoring.next_step(page)
    scoring.to_summary(page)
    expect(page.locator("[data-sum=place]")).to_have_text("1 point above target band")
    expect(page.locator("[data-sum=band]")).to_have_text(
        "Nearest half 4, above the target band 2 to 3."
    )
    expect(page.locator("[data-sum=facts]")).to_contain_text("0.33 less than 4.33")
    expect(page.locator("[data-sum=alerts]")).to_contain_text("Fat in spring")


def test_a_score_that_is_changed_after_that_is_noted_as_changed(
    scored_before: None, opened: Open
) -> None:
    page = opened(PHONE)
    steps.sign_in(page, "maud")
    taken_along(page)
    page.goto(scoring.path("Teasel"))
    steps.ready(page)
    scoring.score_all(page, ("4.0", "4.0", "3.5"))
    steps.to(page, "weight")
    steps.unfold(page, "[name=note]")
    note = page.locator("[name=note]")
    note.fill("Stood well.")
    steps.to(page, "summary")
    expect(page.locator("[data-sum=place]")).to_contain_text("above target band")
    expect(note).to_have_value("Stood well.")
    for value, said in (("3.0", "3, first 4"), ("not_safe", "not safe to palpate, first 4")):
        page.reload()  # what was seen is not forgotten with the page
        steps.to(page, "back_and_ribs")
        page.locator(f"label:has(input[name='regions.back_and_ribs'][value='{value}'])").click()
        steps.to(page, "summary")
        expect(note).to_have_value(
            f"Stood well.\nChanged after the comparison was shown: back and ribs {said}."
        )
    steps.to(page, "back_and_ribs")
    scoring.key(page, "regions.back_and_ribs", "4.0")
    steps.to(page, "summary")
    expect(note).to_have_value("Stood well.")


def test_without_the_round_the_phone_says_what_comes_after_saving(
    scored_before: None, opened: Open
) -> None:
    page = opened(PHONE)
    scoring.begin(page)
    scoring.score_all(page)
    scoring.to_summary(page)
    expect(page.locator("[data-sum=place]")).to_be_hidden()
    expect(page.locator("[data-step=summary]")).to_contain_text("Saving checks for alerts.")
