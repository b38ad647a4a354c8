"""A real browser before a real web process, on a test's own database.

The browser is CHROMIUM, or Debian's. Browser and process are started once for each worker, since to
start them costs more than most tests; the database is each test's own.
"""

from collections.abc import Callable, Iterator
from contextlib import ExitStack
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
import redis
from playwright.sync_api import Browser, BrowserContext, Page

from tests import cast
from tests.browser import houses, lossy, phones
from tests.conftest import a_name, cloned, connected, environment_of, viewer_of
from yards import isolation
from yards.models import Yard

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


@dataclass(frozen=True)
class Home:
    """A web process, the database it asks and the place of its cache."""

    url: str
    database: str
    cache: str


@pytest.fixture(scope="session")
def home(template: str, tmp_path_factory: pytest.TempPathFactory, worker_id: str) -> Iterator[Home]:
    """Serve the pages to all tests of this worker, whatever database has the name just then."""
    folder, name = tmp_path_factory.mktemp("home"), a_name()
    with ExitStack() as open_until_the_end:
        with cloned(template, name):
            serving = houses.opened(environment_of(name), folder, worker_id)
            made = open_until_the_end.enter_context(serving)
        yield Home(made.url, name, made.environ["REDIS_URL"])


@pytest.fixture
def database(home: Home, ground: str, django_db_blocker: Any) -> Iterator[str]:
    """A fresh copy of the cast under the name that the web process asks; nothing in its cache.

    The process finds its connections gone with the copy before, and makes new ones.
    """
    with connected(ground, django_db_blocker, home.database) as name:
        with redis.Redis.from_url(home.cache) as cache:
            cache.flushdb()
        yield name


@pytest.fixture
def served(home: Home, spring: None) -> str:
    """Return the address of the pages."""
    return home.url


@pytest.fixture
def opened(served: str, browser: Browser) -> Iterator[Open]:
    """Open a page of a size; at the end nothing may have been refused or failed in it."""
    complaints: list[str] = []
    contexts: list[BrowserContext] = []

    def opening(size: tuple[int, int] = LAPTOP, *, script: bool = True) -> Page:
        context = browser.new_context(
            base_url=served,
            viewport={"width": size[0], "height": size[1]},
            java_script_enabled=script,
            locale="en-GB",
            # What the app keeps for itself is the round's tests' business, and costs each context.
            service_workers="block",
        )
        contexts.append(context)
        context.set_default_timeout(10_000)
        page = context.new_page()
        page.on("pageerror", lambda error: complaints.append(str(error)))
        page.on(
            "console",
            lambda said: complaints.append(said.text) if said.type == "error" else None,
        )
        return page

    yield opening
    for each in contexts:
        each.close()
    # A form sent back to be put right answers 422, which the browser also notes.
    assert not [each for each in complaints if "422" not in each]


@pytest.fixture
def phone(served: str, browser: Browser) -> Iterator[Callable[..., phones.Phone]]:
    """Take a phone in hand, which keeps what it keeps until the test ends."""
    held: list[phones.Phone] = []

    def taking(key: str = "maud", *, url: str = "", room: int = 0) -> phones.Phone:
        context = browser.new_context(
            base_url=url or served, viewport={"width": 390, "height": 844}, locale="en-GB"
        )
        held.append(phones.Phone(context, url or served))
        if room:
            held[-1].limit(room)
        held[-1].sign_in(key)
        return held[-1]

    yield taking
    for each in held:
        each.context.close()
    assert [each for one in held for each in one.complaints] == []


@pytest.fixture
def link(served: str) -> Iterator[lossy.Link]:
    """A link before the server that can lose requests, replies, or be down."""
    with lossy.before(served) as made:
        yield made
