"""From a tap on the scoring page to the paint that answers it, on a phone six times slower.

The floor is a button of the same page that answers with one changed letter, so that both wait for
the same browser's next frame. Times are of this machine, at this moment, slowed by the browser.
"""

from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path

from django.conf import settings
from playwright.sync_api import Page, sync_playwright

from deploy.launch import house
from tests.bench import measure
from tests.browser import scoring
from tests.browser.conftest import PHONE
from tests.conftest import chromium, environment_of

SLOWER = 6
_PAINTED = """() => {
  const bare = document.createElement("button");
  bare.type = "button";
  bare.textContent = "0";
  bare.addEventListener("click", () => { bare.textContent = 1 - bare.textContent; });
  document.querySelector("[data-bar]").append(bare);
  const painted = () => new Promise((done) => requestAnimationFrame(() => {
    const { port1, port2 } = new MessageChannel();
    port1.onmessage = done;
    port2.postMessage(null);
  }));
  // From the tap until the frame that shows its answer has been handed on.
  window.tapped = async (what) => {
    const began = performance.now();
    (what ? document.querySelector(what) : bare).click();
    await painted();
    return performance.now() - began;
  };
}"""
_TAP = "(what) => window.tapped(what)"
_NEXT = "[data-next]"
_KEYS = "[data-step=hindquarters] .key input"


@dataclass
class Taps:
    """The comparisons, and each tap's milliseconds as the page itself saw them."""

    comparisons: list[measure.Comparison] = field(default_factory=list)
    seen: dict[str, list[float]] = field(default_factory=dict)


def measured(database: str, rounds: int) -> Taps:
    """Choose scores and go steps on, so many times each."""
    # In a thread of its own: what drives the browser wants one without another's event loop.
    with ThreadPoolExecutor(1) as beside:
        return beside.submit(_measured, database, rounds).result()


def _measured(database: str, rounds: int) -> Taps:
    found = Taps()
    with _page(database) as page:
        page.context.new_cdp_session(page).send("Emulation.setCPUThrottlingRate", {"rate": SLOWER})
        keys = page.locator(_KEYS).count()
        turn = iter(range(10**9))

        def tap(name: str, what: Callable[[], str]) -> measure.Arm:
            def arm() -> None:
                found.seen.setdefault(name, []).append(page.evaluate(_TAP, what()))

            return arm

        def compare(name: str, what: Callable[[], str], before: measure.Arm) -> None:
            found.comparisons.append(
                measure.compare(
                    name,
                    tap(name, what),
                    "a button that changes one letter",
                    tap("floor", lambda: ""),
                    rounds=rounds,
                    before=before,
                )
            )

        compare(
            "a score chosen",
            lambda: f"[data-step=hindquarters] .key:nth-child({next(turn) % keys + 1}) input",
            lambda: None,
        )
        compare("a step on", lambda: _NEXT, lambda: _back(page))
    return found


def _back(page: Page) -> None:
    """Return to the hindquarters, untimed, so that each step on is the same one."""
    page.go_back()
    page.wait_for_selector("[data-step=hindquarters]:not([hidden])")


@contextmanager
def _page(database: str) -> Iterator[Page]:
    """The scoring page of a horse, its hindquarters in sight, in a real browser."""
    folder = Path(settings.DATA) / "taps"
    for part in ("run", "log"):
        (folder / part).mkdir(parents=True, exist_ok=True)
    environ = {
        **environment_of(database),
        "HALFPOINT_DATA": str(folder),
        "WEB_CONCURRENCY": "1",
    }
    with house.serving(environ, folder, parts=("web",)) as home, sync_playwright() as playwright:
        home.wait()
        browser = playwright.chromium.launch(**chromium())
        size = {"width": PHONE[0], "height": PHONE[1]}
        page = browser.new_page(base_url=home.url, viewport=size)  # type: ignore[arg-type]
        scoring.begin(page)
        for region in scoring.REGIONS:
            scoring.next_step(page)
            scoring.key(page, f"regions.{region}", "3.0")
        page.evaluate(_PAINTED)
        yield page
        browser.close()
