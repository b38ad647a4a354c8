"""The board in a browser: by keyboard, without a script, and changing while it is looked at."""

import random
import re
from collections.abc import Iterator
from contextlib import suppress
from datetime import UTC, datetime
from typing import Any

import pytest
from axe_playwright_python.base import AXE_SCRIPT
from playwright.sync_api import Browser, Page, expect

from scoring.actions import assessments
from tests import cast, factories, readings
from tests.browser import steps
from tests.browser.conftest import LAPTOP, PHONE, Open, size_name
from tests.browser.test_accessible import WIDER, faults
from tests.conftest import viewer_of
from tests.outside import EXACT, outside
from tests.queries import board_herds
from yards import isolation
from yards.models import Grant, Horse, Yard

LONG_YARD = "The Long Meadow behind the Old Mill beside the River at Ewes"
HIDE = """hidden => {
  Object.defineProperty(document, "hidden", { configurable: true, get: () => hidden });
  document.dispatchEvent(new Event("visibilitychange"));
}"""
NEWS = "[data-live-news]"


def herd() -> None:
    """A hundred and fifty horses; some names are long, one yard's is as long as a yard's may be."""
    viewer = viewer_of("isolde")
    with isolation.of(viewer):
        Yard.objects.filter(ref=cast.ref("Nether Paddocks")).update(name=LONG_YARD)
        board_herds.herd(viewer, 150, datetime.now(UTC), each=9)
        for name in ("Abcdefghij" * 12, "עדשים וצנוברים", "Mo " * 39 + "Mo"):
            made: Any = factories
            horse = made.HorseFactory(
                organisation_id=viewer.organisation, yard=Yard.objects.all()[0], name=name
            )
            now = datetime.now(UTC)
            board_herds.standings(viewer, [horse], [], now, random.Random(3))


def scored(horse: str, score: str) -> None:
    """Somebody else scores a horse, here and now."""
    now, viewer = datetime.now(UTC), viewer_of("tobias")
    with isolation.of(viewer):
        raw = readings.raw(horse, now, score, score, score)
        assessments.record_assessment(viewer, raw, now=now)


@pytest.fixture
def watched(served: str, browser: Browser) -> Iterator[Page]:
    """A page whose clock the test sets; what it complains of in its console is not looked at."""
    context = browser.new_context(
        base_url=served, viewport={"width": 1280, "height": 800}, service_workers="block"
    )
    context.set_default_timeout(10_000)
    page = context.new_page()
    page.clock.install()
    steps.sign_in(page, "isolde")
    yield page
    context.close()


def later(page: Page, seconds: int = 31) -> None:
    page.clock.fast_forward(seconds * 1000)


def told_later(page: Page, text: str) -> None:
    """Let time pass until something is told: the page may still be busy with the look before."""
    for _ in range(5):
        later(page)
        with suppress(AssertionError):
            expect(page.locator(NEWS)).to_have_text(text, timeout=1000)
            return
    expect(page.locator(NEWS)).to_have_text(text)


@outside(
    "a board of many horses, narrowed and on the wall, is accessible",
    source="WCAG 2.2 A and AA, as axe-core tests them",
    status=EXACT,
)
@pytest.mark.built(by=herd)
def test_axe_finds_nothing_on_a_full_board(opened: Open) -> None:
    page = opened()
    page.context.add_init_script(AXE_SCRIPT)
    steps.bring_session(page, "isolde")
    found = []
    for path in ("/", "/?use=leisure&search=bramble", "/wall/", "/?search=nobody"):
        page.goto(path)
        for each in page.locator("summary").all():
            each.click()
        found += faults(page, path)
    assert found == []


@pytest.mark.parametrize(
    "size", [PHONE, (768, 1024), (1024, 768), LAPTOP, (1920, 1080)], ids=size_name
)
@pytest.mark.built(by=herd)
def test_no_name_makes_the_page_wider_than_the_screen(opened: Open, size: tuple[int, int]) -> None:
    page = opened(size)
    steps.bring_session(page, "isolde")
    for path in ("/", "/?search=abcdefghij", "/?search=mo+mo", "/wall/"):
        page.goto(path)
        assert page.evaluate(WIDER) <= 0, path


@pytest.mark.parametrize("script", [True, False], ids=["script", "no script"])
@pytest.mark.built(by=herd)
def test_the_board_is_narrowed_and_paged_by_keyboard_alone(opened: Open, script: bool) -> None:
    page = opened(script=script)
    steps.sign_in(page, "isolde")
    steps.tab_to(page, "it.id === 'search'")
    page.keyboard.type("bramble")
    page.keyboard.press("Enter")
    page.wait_for_url("**/?*search=bramble*")
    steps.tab_to(page, "it.textContent.trim() === 'Filters'")
    page.keyboard.press("Enter")
    steps.tab_to(page, "it.id === 'by-trend'")
    page.keyboard.type("Losing")
    steps.tab_to(page, "it.textContent.trim() === 'Show these'")
    page.keyboard.press("Enter")
    page.wait_for_url("**/?*trend=falling*")
    expect(page.locator(".force")).to_contain_text("Trend: Losing")
    expect(page.locator(".force")).to_contain_text("Search: bramble")
    steps.tab_to(page, "it.textContent.trim() === 'Remove all'")
    page.keyboard.press("Enter")
    page.wait_for_url(re.compile(r"/\??$"))
    steps.tab_to(page, "it.rel === 'next'")
    first = page.locator(".r").first.get_attribute("data-horse")
    page.keyboard.press("Enter")
    page.wait_for_url("**/?after=*")
    assert page.locator(".r").count() == 60
    assert page.locator(f"[data-horse='{first}']").count() == 0


@pytest.mark.built(by=herd)
def test_a_view_is_kept_and_removed_by_keyboard_alone(opened: Open) -> None:
    page = opened()
    steps.bring_session(page, "isolde")
    page.goto("/?place=below")
    steps.tab_to(page, "it.textContent.trim() === 'Keep this view'")
    page.keyboard.press("Enter")
    steps.tab_to(page, "it.id === 'view-name'")
    page.keyboard.type("Thin ones")
    page.keyboard.press("Enter")
    expect(page.locator(".kept nav a[aria-current]")).to_have_text("Thin ones")
    steps.tab_to(page, "it.textContent.trim() === 'Your views'")
    page.keyboard.press("Enter")
    steps.tab_to(page, "it.textContent.trim() === 'Remove Thin ones'")
    page.keyboard.press("Enter")
    expect(page.locator(".kept nav")).to_have_count(0)


def test_a_change_is_told_and_shown_when_asked_for(watched: Page) -> None:
    page = watched
    teasel = page.locator(f"[data-horse='{cast.ref('Teasel')}']")
    link = page.locator(f"[data-horse='{cast.ref('Tansy')}'] .cn a")
    link.focus()
    later(page)
    expect(page.locator("[data-live-at]")).to_contain_text("Looked for changes at")
    assert page.locator(NEWS).text_content() == ""
    scored("Teasel", "3")
    told_later(page, "1 row has changed.")
    expect(teasel.locator(".co")).to_contain_text("No score")
    expect(link).to_be_focused()
    page.click("[data-live-show]")
    expect(teasel.locator(".co")).to_contain_text("3.00")
    expect(teasel).to_contain_text("Changed")
    expect(teasel.locator(".cn a")).to_be_focused()
    expect(page.locator("[data-live-show]")).to_be_hidden()


def test_what_is_typed_into_the_search_stays_when_changes_are_shown(watched: Page) -> None:
    page = watched
    page.fill("#search", "half a na")
    scored("Sorrel Lad", "2")
    later(page)
    page.click("[data-live-show]")
    expect(page.locator(f"[data-horse='{cast.ref('Sorrel Lad')}'] .co")).to_contain_text("2.00")
    assert page.input_value("#search") == "half a na"


def test_a_page_that_nobody_looks_at_does_not_ask(watched: Page) -> None:
    page, sent = watched, list[str]()
    page.on("request", lambda each: sent.append(each.url))
    page.evaluate(HIDE, True)
    for _ in range(4):
        later(page, 60)
    assert _asked(sent) == []
    with page.expect_response(lambda answer: answer.status == 304):
        page.evaluate(HIDE, False)
    assert len(_asked(sent)) == 1


def _asked(sent: list[str]) -> list[str]:
    """What the page itself asked for: the browser fetches its icon whenever it likes."""
    return [each for each in sent if "favicon" not in each]


def test_what_could_not_be_asked_is_said_and_made_good(watched: Page) -> None:
    page = watched
    page.context.set_offline(True)
    later(page)
    fault = page.locator("[data-live-fault]")
    expect(fault).to_contain_text("Could not look for changes since")
    page.context.set_offline(False)
    later(page)
    expect(fault).to_be_empty()
    page.context.clear_cookies()
    later(page)
    expect(fault).to_contain_text("You are signed out.")


def test_the_wall_refreshes_itself_and_says_when_it_could_not(watched: Page) -> None:
    page = watched
    page.goto("/wall/")
    expect(page.locator("[data-live-at]")).to_contain_text("Last refreshed at")
    with isolation.of(viewer_of("isolde")):
        Horse.objects.filter(ref=cast.ref("Tansy")).update(name="Tansy the Second", version=9)
    later(page)
    expect(page.locator(".cards")).to_contain_text("Tansy the Second")
    page.context.set_offline(True)
    later(page)
    fault = page.locator("[data-live-fault]")
    expect(fault).to_contain_text("Could not refresh since")
    expect(page.locator(".cards")).to_contain_text("Tansy the Second")
    page.context.set_offline(False)
    later(page)
    expect(page.locator("[data-live-fault]")).to_be_empty()
    # A grant that ends empties the wall at its next look, and says so.
    with isolation.of(viewer_of("isolde")):
        here = Grant.objects.filter(organisation_id=cast.ref(cast.QUILLET))
        here.update(revoked_at=datetime.now(UTC), revoked_by=cast.ref("keziah"))
    later(page)
    expect(fault).to_contain_text("Dr Keziah Orme ended it")
    expect(page.locator("[data-part] *")).to_have_count(0)


def test_the_wall_without_a_script_is_loaded_again_each_minute(opened: Open) -> None:
    page = opened(script=False)
    steps.bring_session(page, "isolde")
    page.goto("/wall/")
    meta = page.locator("meta[http-equiv=refresh]")
    assert meta.get_attribute("content") == "60"


@pytest.mark.built(by=herd)
def test_on_paper_no_row_is_split_and_no_button_stands(opened: Open) -> None:
    page = opened()
    steps.sign_in(page, "isolde")
    page.emulate_media(media="print")
    styles = page.evaluate(
        "[...document.querySelectorAll('.r')].map(row => getComputedStyle(row).breakInside)"
    )
    assert set(styles) == {"avoid"}
    # What the signs mean stands in the last row, so that it is left to no sheet of its own.
    last, key = (page.locator(each).last.bounding_box() for each in (".board tr", ".key"))
    assert last is not None
    assert key is not None
    assert last["y"] + 30 < key["y"]
    assert key["y"] + key["height"] <= last["y"] + last["height"]
    for each in (".find", ".cx", ".pages", ".towall", ".live"):
        assert not page.locator(each).first.is_visible(), each
    assert page.locator(".spark").first.is_visible()
    assert page.locator(".sheetmark").is_visible()
