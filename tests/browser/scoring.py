"""Scoring a horse a step at a time, as a thumb does it: what the tests of the steps share."""

from playwright.sync_api import FilePayload, Page, expect

from tests import cast, photos
from tests.browser import steps

FIVE = ("look", "neck_and_shoulder", "back_and_ribs", "hindquarters", "weight", "summary")
WHOLE = ("look", "overall", "weight", "summary")
REGIONS = FIVE[1:4]
HORSE = FilePayload(name="horse.jpg", mimeType="image/jpeg", buffer=photos.jpeg())
TITLES = {
    "look": "Look first",
    "neck_and_shoulder": "Neck and shoulder",
    "back_and_ribs": "Back and ribs",
    "hindquarters": "Hindquarters",
    "overall": "Whole animal",
    "weight": "Weight and notes",
    "summary": "What it comes to",
}


def path(name: str) -> str:
    """Where a horse is scored."""
    return f"/horses/{cast.ref(name)}/score/"


def begin(page: Page, name: str = "Teasel", *, by: str = "maud", query: str = "") -> None:
    """Sign in and open a horse's form, in steps."""
    steps.bring_session(page, by)
    page.goto(path(name) + query)
    assert steps.ready(page)


def next_step(page: Page) -> None:
    page.click("[data-next]")


def key(page: Page, field: str, value: str) -> None:
    """Press a key of the ruler that is in sight."""
    page.locator(f"label.key:has(input[name='{field}'][value='{value}'])").click()


def at(page: Page, name: str) -> None:
    """The step in sight is that one, and no other."""
    expect(page.locator(f"[data-step={name}]")).to_be_visible()
    shown = page.locator("[data-step]:visible").evaluate_all(
        "all => all.map((x) => x.dataset.step)"
    )
    assert shown == [name]


def score_all(page: Page, scores: tuple[str, ...] = ("3.5", "5.0", "4.0")) -> None:
    """From the first step, score the three regions by pointer and stand at the weight."""
    for region, score in zip(REGIONS, scores, strict=True):
        next_step(page)
        key(page, f"regions.{region}", score)
    next_step(page)


def to_summary(page: Page) -> None:
    """From the weight to what it comes to."""
    next_step(page)
    at(page, "summary")
