"""The browser suggests what the server does: shared cases by its script, and live on the form."""

import pytest
from playwright.sync_api import Page, expect

from tests import cast
from tests.browser import steps, test_steps_looks
from tests.browser.conftest import LAPTOP, PHONE, SIZES, Open, size_name
from tests.conftest import viewer_of
from yards import isolation
from yards.models import Horse
from yards.rules import fixture

SAID = "Suggests about 4 to 4½."
NEAR = "4: groove begins, ribs by pressing. 5: deep groove, ribs not found."
FIRST = "One so far."
LONG = "Teasel of the Further Long Nether Paddock"
ONCE = "Score without the fat pocket: it is added once."
ALL = """async ([script, findings, cases]) => {
  const { suggest } = await import(script);
  return cases.map((each) => suggest(
    findings, each.scale, each.findings,
    { felt: each.manner === "palpated", pocket: each.fat_pocket, sex: each.sex },
  ));
}"""


def output(page: Page, place: str) -> str:
    return page.locator(f"output[data-suggests='{place}']").text_content() or ""


def test_the_script_suggests_the_shared_cases_on_the_fixture_as_it_stands(opened: Open) -> None:
    page = opened(LAPTOP)
    steps.bring_session(page, "maud")
    page.goto(steps.TEASEL)
    script = page.locator("script[type=module][src*=suggestion]").get_attribute("src")
    cases = fixture.load("suggestion_cases")["cases"]
    told = page.evaluate(ALL, [script, fixture.load("findings"), cases])
    for case, places in zip(cases, told, strict=True):
        assert places == case["places"], case["name"]


@pytest.mark.parametrize("size", SIZES, ids=size_name)
def test_it_is_said_as_findings_are_chosen_and_only_there(
    opened: Open, size: tuple[int, int]
) -> None:
    page = opened(size)
    steps.bring_session(page, "maud")
    page.goto(steps.TEASEL)
    back = page.locator("output[data-suggests='back_and_ribs']")
    steps.to(page, "back_and_ribs")
    expect(back).to_be_empty()
    ruler = page.locator("[data-step=back_and_ribs] .rule")
    before = ruler.bounding_box()
    steps.choose(page, "findings.ribs", "firm_pressure")
    expect(back).to_have_text(f"{FIRST} {SAID}")
    steps.choose(page, "findings.spine", "nearly_flat")
    expect(back).to_have_text(f"{SAID} {NEAR}")
    # Nothing moves under the thumb that chooses.
    assert ruler.bounding_box() == before
    # What each score feels like is one tap away, thin to fat whatever is suggested, all in sight.
    page.locator("[data-step=back_and_ribs] .feels").click()
    near = page.locator("[data-step=back_and_ribs] .levels dt")
    assert [each.inner_text() for each in near.all()] == ["0", "1", "2", "3", "4", "5"]
    assert output(page, "neck_and_shoulder") == output(page, "hindquarters") == ""
    # Nothing is scored by it: no key is chosen.
    assert page.locator(".keys input:checked").count() == 0
    assert page.evaluate(test_steps_looks.UNSEEN, "[data-step=back_and_ribs] .levels dt") == []
    page.keyboard.press("Escape")
    steps.to(page, "look")
    steps.unfold(page, "[name=manner]")
    steps.choose(page, "manner", "visual")
    expect(back).to_contain_text("that takes a hand")
    steps.choose(page, "manner", "palpated")
    steps.to(page, "back_and_ribs")
    steps.choose(page, "fat_pocket", "marked")
    expect(back).to_have_text(f"{SAID} {ONCE} {NEAR}")
    # Once a score is chosen: who decides, and what counts, with the keys where they were.
    at = ruler.bounding_box()
    steps.score(page, region="back_and_ribs", value="3.0")
    expect(back).to_have_text(
        f"Your hand decides: 3 felt, +½ for the marked pocket = 3½ counted. {SAID}"
    )
    steps.score(page, region="back_and_ribs", value="4.0")
    expect(back).to_have_text(f"4 felt, +½ for the marked pocket = 4½ counted. {SAID}")
    assert ruler.bounding_box() == at


def test_a_finding_chosen_by_mistake_is_cleared(opened: Open) -> None:
    page = opened(PHONE)
    steps.bring_session(page, "maud")
    page.goto(steps.TEASEL)
    back = page.locator("output[data-suggests='back_and_ribs']")
    steps.to(page, "back_and_ribs")
    ruler = page.locator("[data-step=back_and_ribs] .rule")
    at = ruler.bounding_box()
    steps.choose(page, "findings.ribs", "firm_pressure")
    steps.choose(page, "findings.spine", "nearly_flat")
    steps.score(page, region="back_and_ribs", value="4.0")
    # Of a slight one nothing more is said than its answer says, before the score and after.
    steps.choose(page, "fat_pocket", "slight")
    expect(back).to_have_text(f"{SAID} {NEAR}")
    pocket = page.locator(".seg label:has([name=fat_pocket][value=slight])")
    expect(pocket).to_have_text("Slight, +0")
    # Chosen by mistake, a finding is cleared: by a second tap, by Space, by Backspace.
    spine = page.locator("[name='findings.spine'][value=nearly_flat]")
    for clear in ("tap", " ", "Backspace"):
        if clear == "tap":
            steps.choose(page, "findings.spine", "nearly_flat")
        else:
            spine.press(clear)
        expect(spine).not_to_be_checked()
        expect(back).to_have_text(f"{FIRST} {SAID}")
        steps.choose(page, "findings.spine", "nearly_flat")
        expect(back).to_have_text(f"{SAID} {NEAR}")
    spine.press(" ")
    assert ruler.bounding_box() == at
    # And the draft with it.
    page.reload()
    assert steps.ready(page)
    expect(page.locator("[name='findings.ribs']:checked")).to_have_count(1)
    expect(page.locator("[name='findings.spine']:checked")).to_have_count(0)


FOUND = {
    "crest": ("neck_and_shoulder", "hard_or_leaning"),
    "shoulder": ("neck_and_shoulder", "stands_out"),
    "ribs": ("back_and_ribs", "stand_out"),
    "rump": ("hindquarters", "flat"),
    "hip_bones": ("hindquarters", "stand_out"),
    "tailhead": ("hindquarters", "slight_hollow"),
}


def test_the_script_and_the_server_say_the_same_words(opened: Open) -> None:
    places = ("neck_and_shoulder", "back_and_ribs", "hindquarters")
    told = []
    for script in (True, False):
        page = opened(PHONE, script=script)
        steps.bring_session(page, "maud")
        page.goto(steps.TEASEL)
        for name, (region, value) in FOUND.items():
            steps.to(page, region)
            steps.choose(page, f"findings.{name}", value)
        if not script:
            page.click("text=Save score")
            expect(page.locator("#faults")).to_be_visible()
        told.append({place: output(page, place) for place in places})
    assert all(told[0].values())
    assert told[0]["hindquarters"].endswith("2: flat, slight hollow at the tail.")
    assert told[0] == told[1]


def test_without_a_script_it_is_said_by_the_form_that_comes_back(opened: Open) -> None:
    page = opened(PHONE, script=False)
    steps.bring_session(page, "maud")
    page.goto(steps.TEASEL)
    steps.choose(page, "findings.ribs", "firm_pressure")
    steps.choose(page, "findings.spine", "nearly_flat")
    assert output(page, "back_and_ribs") == ""
    page.click("text=Save score")
    back = page.locator("output[data-suggests='back_and_ribs']")
    expect(back).to_have_text(f"{SAID} {NEAR}")
    # A finding is taken back by an answer of its own.
    steps.choose(page, "findings.ribs", "")
    steps.choose(page, "findings.spine", "")
    page.click("text=Save score")
    expect(page.locator("output[data-suggests='back_and_ribs']")).to_be_empty()


@pytest.fixture
def stallion(database: str) -> None:
    """Let Teasel be one; before there is a browser, whose loop lets nobody ask the database."""
    with isolation.of(viewer_of("isolde")):
        Horse.objects.filter(ref=cast.ref("Teasel")).update(sex="stallion", name=LONG)


@pytest.mark.parametrize("script", [True, False])
def test_a_stallion_s_crest_is_not_counted_on_the_form(
    stallion: None, opened: Open, script: bool
) -> None:
    page = opened(PHONE, script=script)
    steps.bring_session(page, "maud")
    page.goto(steps.TEASEL)
    steps.to(page, "neck_and_shoulder")
    steps.choose(page, "findings.crest", "slight")
    if not script:
        page.click("text=Save score")
    expect(page.locator("output[data-suggests='neck_and_shoulder']")).to_have_text(
        "A crest that bends easily: noted, not counted, since a stallion may have a crest at any "
        "score."
    )
    # However long the name above, all of it stands over the ruler.
    if script:
        assert page.evaluate("scrollY") == 0
        assert page.evaluate(test_steps_looks.UNSEEN, ".suggested:not(:empty), .key") == []
