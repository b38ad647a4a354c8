"""Every step is accessible, large enough for a thumb, and fits: phone, landscape, large text."""

from collections.abc import Iterator

import pytest
from axe_playwright_python.base import AXE_SCRIPT
from playwright.sync_api import Page, expect

from tests.browser import scoring, steps
from tests.browser.conftest import PHONE, Open
from tests.outside import EXACT, outside

SIDEWAYS = (844, 390)
AXE = "axe.run({resultTypes: ['violations']})"
WIDER = "document.documentElement.scrollWidth - document.documentElement.clientWidth"
LARGE = "size => { document.documentElement.style.fontSize = size; }"
LIGHTS = ("dark", "sun")
CONTRAST = "axe.run({resultTypes: ['violations'], runOnly: ['color-contrast']})"
LEAST = 48
# What a thumb aims at: controls by their label, since the label is what is pressed.
SMALL = """(least) => {
  const inside = "main a[href], main button, main select, main textarea, main summary, main input";
  const bar = ".aid a, .aid summary, .top a, .top button, dialog[open] button";
  return [...document.querySelectorAll(`${inside}, ${bar}`)].flatMap((each) => {
    if (each.type === "hidden" || !each.checkVisibility({ visibilityProperty: true })) return [];
    const labelled = each.matches("[type=radio], [type=checkbox], [type=file]");
    const aim = labelled ? each.closest("label") : each;
    const { width, height } = aim.getBoundingClientRect();
    if (!width || Math.min(width, height) >= least - 0.5) return [];
    return [`${aim.outerHTML.slice(0, 120)} ${Math.round(width)}x${Math.round(height)}`];
  });
}"""


def walked(page: Page, names: tuple[str, ...] = scoring.FIVE) -> Iterator[str]:
    """Go through every step, with every block that a choice brings into sight."""
    for name in names:
        if name in scoring.REGIONS or name == "overall":
            yield f"{name}, empty"
            field = name if name == "overall" else f"regions.{name}"
            scoring.key(page, field, "3.0")
            steps_open(page, name)
        elif name == "weight":
            yield "weight, empty"
            for way in ("weigh_tape", "formula"):
                steps.choose(page, "weighing.method", way)
                page.wait_for_timeout(150)
                yield f"weight, {way}"
        elif name == "look":
            page.locator("label:has([value=cannot_rise])").click()
        yield name
        if name != "summary":
            scoring.next_step(page)
    page.click("[data-danger]")
    yield "danger sheet"


def steps_open(page: Page, name: str) -> None:
    """Open what is folded away in a step."""
    folded = page.locator(f"[data-step={name}] details:not([open]) summary")
    while folded.count():
        folded.first.click()
    for slab in page.locator(f"[data-step={name}] [popovertarget]:not([popover] *)").all():
        page.keyboard.press("Escape")
        slab.click()


# What stands in a step and is not in sight as the page lies, or lies under something else.
UNSEEN = """(what) => [...document.querySelectorAll(what)]
  .filter((each) => each.checkVisibility({ visibilityProperty: true }))
  .filter((each) => {
    const { x, y, width, height } = each.getBoundingClientRect();
    return [y + 2, y + height - 2].some((at) =>
      !each.contains(document.elementFromPoint(x + width / 2, at)));
  }).map((each) => each.textContent.trim())"""
PRESSED = ".key, .pad, [data-next]"
ALL = f"{PRESSED}, .danger li, .view, .feels, .seg label, .suggested"


def faults(page: Page, how: str) -> list[str]:
    return [
        f"{each['id']}: {node['html'][:160]}"
        for each in page.evaluate(how)["violations"]
        for node in each["nodes"]
    ]


def under_the_thumb(page: Page) -> None:
    """Sideways, the way on and the danger signs stay where the right thumb is."""
    for what in (".steps .go:visible", "[data-danger]"):
        box = page.locator(what).bounding_box()
        assert box is not None
        assert box["y"] >= 0
        assert box["y"] + box["height"] <= SIDEWAYS[1]
        assert box["x"] >= SIDEWAYS[0] - 160


@outside(
    "every step of scoring is accessible",
    source="WCAG 2.2 A and AA, as axe-core tests them",
    status=EXACT,
)
@pytest.mark.parametrize("size", [PHONE, SIDEWAYS], ids=["upright", "sideways"])
def test_axe_finds_nothing_at_any_step_in_any_light(opened: Open, size: tuple[int, int]) -> None:
    page = opened(size)
    page.emulate_media(reduced_motion="reduce")
    page.context.add_init_script(AXE_SCRIPT)
    scoring.begin(page)
    found = []
    for where in walked(page):
        if size == SIDEWAYS:
            under_the_thumb(page)
        found += [f"{where}: {each}" for each in faults(page, AXE)]
        for theme in LIGHTS if size == PHONE else ():
            page.evaluate("theme => { document.documentElement.dataset.theme = theme; }", theme)
            found += [f"{where}, {theme}: {each}" for each in faults(page, CONTRAST)]
        page.evaluate("delete document.documentElement.dataset.theme")
    assert found == []


def test_a_step_fits_the_phone_and_nothing_moves_under_the_finger(opened: Open) -> None:
    page = opened(PHONE)
    scoring.begin(page)
    assert page.evaluate(UNSEEN, ALL) == []
    for region in scoring.REGIONS:
        scoring.next_step(page)
        ruler = page.locator(f"[data-step={region}] .rule")
        before = ruler.bounding_box()
        assert page.evaluate(UNSEEN, ALL) == []
        for finding in page.locator(f"[data-step={region}] .seg").all():
            finding.locator("label").nth(1).click()
        scoring.next_step(page)
        expect(page.locator("[data-wanting]")).to_contain_text("Choose a score")
        scoring.key(page, f"regions.{region}", "3.5")
        # Findings, what they suggest, the keys and the way on: all in sight, where they were.
        assert page.evaluate("scrollY") == 0
        assert page.evaluate(UNSEEN, ALL) == []
        assert ruler.bounding_box() == before
    # Held sideways, and in large text, what is pressed stays in sight while the rest is scrolled.
    for width, height, size in ((*SIDEWAYS, "100%"), (*PHONE, "200%")):
        page.set_viewport_size({"width": width, "height": height})
        page.evaluate(LARGE, size)
        for end in (0, 9999):
            page.evaluate("end => scrollTo(0, end)", end)
            page.wait_for_timeout(100)
            assert page.evaluate(UNSEEN, PRESSED) == []


CASES = [("Teasel", "", scoring.FIVE), ("Wagtail", "", scoring.WHOLE)]
CASES.append(("Teasel", "?scale=nine", scoring.WHOLE))


@outside(
    "what a thumb aims at is at least 48 px, twice the least that is asked for, and text of 200% "
    "fits the phone",
    source="WCAG 2.2, success criteria 2.5.8 and 1.4.4",
    status=EXACT,
)
@pytest.mark.parametrize(("horse", "query", "names"), CASES, ids=["five", "donkey", "nine"])
def test_a_thumb_finds_what_it_aims_at_and_large_text_fits(
    opened: Open, horse: str, query: str, names: tuple[str, ...]
) -> None:
    page = opened(PHONE)
    scoring.begin(page, horse, query=query)
    small, wide = [], []
    for where in walked(page, names):
        small += [f"{where}: {each}" for each in page.evaluate(SMALL, LEAST)]
        page.evaluate(LARGE, "200%")
        wide += [(where, over) for over in [page.evaluate(WIDER)] if over > 0]
        page.evaluate(LARGE, "")
    assert small == []
    assert wide == []
    page.keyboard.press("Escape")
    box = page.locator(".steps .go:visible").bounding_box()
    assert box is not None
    assert box["height"] >= 60
    assert box["y"] + box["height"] <= PHONE[1]
