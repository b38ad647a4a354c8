"""A real browser before a real web process, on a test's own database.

The browser is CHROMIUM, or Debian's. It is started after everything that asks the database from the
test's own thread, and ended before: Django refuses to work beside the browser's event loop.
"""

import os
from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, sync_playwright

from deploy.launch import house
from tests import cast
from tests.conftest import viewer_of
from yards import isolation
from yards.models import Yard

CHROMIUM = "/usr/bin/chromium"
PHONE, LAPTOP = (390, 844), (1280, 800)
SIZES = (PHONE, LAPTOP)
Open = Callable[..., Page]


def size_name(size: tuple[int, int]) -> str:
    """A size as tests are named by it."""
    return f"{size[0]}x{size[1]}"


@pytest.fixture
def spring(database: str) -> None:
    """Let Top Barn's spring enclose today."""
    today = datetime.now(UTC)
    first, last = today - timedelta(days=30), today + timedelta(days=30)
    with isolation.of(viewer_of("isolde")):
        Yard.objects.filter(ref=cast.ref("Top Barn")).update(
            spring_first=f"{first:%m-%d}", spring_last=f"{last:%m-%d}"
        )


@pytest.fixture
def served(
    environment: dict[str, str], spring: None, tmp_path: Path, worker_id: str
) -> Iterator[str]:
    """Serve the pages and return their address; the cache's database is this worker's own."""
    number = 1 if worker_id == "master" else 1 + int(worker_id.removeprefix("gw"))
    broker = environment["REDIS_URL"]
    joint = "&" if "?" in broker else "?"
    for name in ("run", "log"):
        (tmp_path / name).mkdir()
    environ = {
        **environment,
        "REDIS_URL": f"{broker}{joint}db={number}",
        "HALFPOINT_DATA": str(tmp_path),
        "WEB_CONCURRENCY": "1",  # with its four threads enough for one reader
    }
    with house.serving(environ, tmp_path, parts=("web",)) as home:
        home.wait()
        yield home.url


@pytest.fixture
def browser(database: str) -> Iterator[Browser]:
    """Start the browser."""
    with sync_playwright() as playwright:
        args = ["--no-sandbox"] if os.geteuid() == 0 else []
        path = os.environ.get("CHROMIUM") or CHROMIUM
        started = playwright.chromium.launch(executable_path=path, args=args)
        yield started
        started.close()


@pytest.fixture
def opened(served: str, browser: Browser) -> Iterator[Open]:
    """Open a page of a size; at the end nothing may have been refused or failed in it."""
    complaints: list[str] = []

    def opening(size: tuple[int, int] = LAPTOP, *, script: bool = True) -> Page:
        context = browser.new_context(
            base_url=served,
            viewport={"width": size[0], "height": size[1]},
            java_script_enabled=script,
            locale="en-GB",
        )
        context.set_default_timeout(10_000)
        page = context.new_page()
        page.on("pageerror", lambda error: complaints.append(str(error)))
        page.on(
            "console",
            lambda said: complaints.append(said.text) if said.type == "error" else None,
        )
        return page

    yield opening
    # A form sent back to be put right answers 422, which the browser also notes.
    assert not [each for each in complaints if "422" not in each]
