"""A horse's drawing in a browser: without a script, by keyboard, dragged, in the dark, on paper."""

from datetime import UTC, datetime, timedelta
from typing import Any, Literal

import pytest
from playwright.sync_api import Page, expect

from scoring.actions import assessments, weighings
from tests import cast, readings
from tests.browser import steps
from tests.browser.conftest import LAPTOP, PHONE, Open
from tests.browser.test_accessible import faults, read_out
from tests.conftest import as_somebody
from tests.outside import EXACT, outside

TEASEL = f"/horses/{cast.ref('Teasel')}/"
WIDE, NARROW = "svg.ch.wide", "svg.ch.nar"
# Where Today's line stands beside the drawing's own left edge, in pixels of the screen.
SCHEMES: tuple[Literal["light", "dark"], ...] = ("light", "dark")
LOADED = "window.loadedOnce = true"


def two_years() -> None:
    """Teasel, scored and weighed for two years by three hands, with an alert and a move."""
    now = datetime.now(UTC)
    for place in range(26):
        at = now - timedelta(days=28 * (25 - place) + 1)
        with as_somebody(("maud", "tobias", "keziah")[place % 3]) as viewer:
            score = ("2.5", "3", "3.5", "4")[place // 7]
            weight = {"method": ("weigh_tape", "weighbridge")[place % 2], "weight_kg": "440"}
            facts: dict[str, Any] = {"weighing": weight, "crest": "2"}
            if place == 20:
                facts["danger_signs"] = ["not_eating"]
            raw = readings.raw("Teasel", at, score, score, score, **facts)
            assessments.record_assessment(viewer, raw, now=at)
    with as_somebody("maud") as viewer:
        raw = {"horse": str(cast.ref("Teasel")), "taken_at": now.isoformat(), "weight_kg": "441"}
        girths = {"girth_cm": "181", "belly_girth_cm": "203"}
        weighings.record_weighing(
            viewer, {**raw, "method": "weigh_tape", "measures": girths}, now=now
        )


def looked_at(opened: Open, size: tuple[int, int] = LAPTOP, *, script: bool = True) -> Page:
    page = opened(size, script=script)
    steps.bring_session(page, "isolde")
    page.goto(TEASEL)
    return page


def moved(page: Page) -> tuple[str, str]:
    """What the drawing begins and ends with."""
    drawing = page.locator(WIDE).first
    return drawing.get_attribute("data-first") or "", drawing.get_attribute("data-last") or ""


@pytest.mark.parametrize(
    ("size", "seen", "hidden"), [(LAPTOP, WIDE, NARROW), (PHONE, NARROW, WIDE)]
)
@pytest.mark.built(by=two_years)
def test_each_screen_has_its_own_width_and_needs_no_script(
    opened: Open, size: tuple[int, int], seen: str, hidden: str
) -> None:
    page = looked_at(opened, size, script=False)
    expect(page.locator(seen).first).to_be_visible()
    expect(page.locator(hidden).first).to_be_hidden()
    page.locator("nav a", has_text="2 years").click()
    page.wait_for_url("**window=2y**")
    expect(page.locator("nav a[aria-current=true]", has_text="2 years")).to_be_visible()
    assert page.evaluate("document.documentElement.scrollWidth - window.innerWidth") <= 0


@outside(
    "a drawing with its key, table and form is accessible",
    source="WCAG 2.2 A and AA, as axe-core tests them",
    status=EXACT,
)
@pytest.mark.built(by=two_years)
@pytest.mark.long
def test_axe_finds_nothing_on_a_full_drawing(opened: Open) -> None:
    """In light and in dark; each page is loaded once, since the browser warms to the work."""
    page = read_out(opened)
    steps.bring_session(page, "isolde")
    found = []
    for path in (TEASEL, f"{TEASEL}?window=2y", f"{TEASEL}values/?window=2y"):
        page.goto(path)
        for scheme in SCHEMES:
            page.emulate_media(color_scheme=scheme)
            found += faults(page, f"{path} {scheme}")
    assert found == []


@pytest.mark.built(by=two_years)
def test_a_window_is_chosen_in_place_and_gone_back_from(opened: Open) -> None:
    page = looked_at(opened)
    page.evaluate(LOADED)
    before = moved(page)
    steps.tab_to(page, "it.dataset.window === '' && it.textContent === '3 months'")
    page.keyboard.press("Enter")
    page.wait_for_url("**window=3m**")
    expect(page.locator("[data-chart] a[aria-current=true]")).to_have_text("3 months")
    assert moved(page) != before
    assert page.evaluate("window.loadedOnce"), "the page was not loaded anew"
    assert page.evaluate("document.activeElement.textContent") == "3 months"
    page.go_back()
    expect(page.locator("[data-chart] a[aria-current=true]")).to_have_text("1 year")
    assert page.evaluate("window.loadedOnce")


@pytest.mark.built(by=two_years)
def test_arrows_pan_and_plus_and_minus_zoom(opened: Open) -> None:
    page = looked_at(opened)
    page.evaluate(LOADED)
    steps.tab_to(page, "it.dataset.window === '' && it.textContent === '1 year'")
    page.keyboard.press("ArrowLeft")
    page.wait_for_url("**to=**")
    expect(page.locator("[data-chart] a[data-window=later]")).to_be_visible()
    expect(page.locator("svg.ch .nw")).to_have_count(0)
    page.keyboard.press("ArrowRight")
    expect(page.locator(f"{WIDE} .nw").first).to_be_visible()
    page.keyboard.press("-")
    expect(page.locator("[data-chart] a[aria-current=true]")).to_have_text("2 years")
    page.keyboard.press("+")
    expect(page.locator("[data-chart] a[aria-current=true]")).to_have_text("1 year")
    assert page.evaluate("window.loadedOnce")


@pytest.mark.built(by=two_years)
def test_a_drag_pans(opened: Open) -> None:
    page = looked_at(opened)
    drawing = page.locator(WIDE).first
    drawing.scroll_into_view_if_needed()
    box = drawing.bounding_box()
    assert box is not None
    before = moved(page)
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 3
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x + 120, y, steps=4)
    page.mouse.up()
    expect(page.locator("[data-chart] a[data-window=later]")).to_be_visible()
    assert moved(page) < before


@pytest.mark.built(by=two_years)
def test_paper_is_black_on_white_with_a_pale_grey_band(opened: Open) -> None:
    page = looked_at(opened, LAPTOP)
    page.emulate_media(media="print", color_scheme="light")
    drawing = page.locator(WIDE).first
    expect(drawing).to_be_visible()
    colours = page.evaluate(
        """() => ['.band', '.ln', '.p'].map((name) =>
            getComputedStyle(document.querySelector(`svg.ch.wide ${name}`)))
            .map((style, place) => (place === 1 ? style.stroke : style.fill))"""
    )
    assert colours == ["rgb(236, 236, 236)", "rgb(0, 0, 0)", "rgb(0, 0, 0)"]
    expect(page.locator("form.since").first).to_be_hidden()
    expect(page.get_by_text("80% range").first).to_be_visible()
    # What stands before the drawing goes on over the edge of a sheet; the drawing is never cut.
    broken = """() => ['.stands', '.sheet2', 'svg.ch.wide'].map((name) =>
        getComputedStyle(document.querySelector(name)).breakInside)"""
    assert page.evaluate(broken) == ["auto", "auto", "avoid"]


@pytest.mark.built(by=two_years)
def test_a_person_may_ask_since_when_without_a_script(opened: Open) -> None:
    page = looked_at(opened, PHONE, script=False)
    since = datetime.now(UTC) - timedelta(days=500)
    page.fill("#chart-from", f"{since:%Y-%m-%d}")
    page.locator("form.since button", has_text="Show").first.click()
    page.wait_for_url("**from=**")
    expect(page.locator(".went").first).to_contain_text("points up, 80% range")
