"""Every database test runs on its own copy of a real PostgreSQL database, as the runtime role.

The template is migrated by the owner and filled with the cast once a run; each test clones it.
There is never a wrapping test transaction, since isolation is a property of transactions.
"""

import gc
import os
import re
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any

import hypothesis
import pytest
from django.conf import settings
from django.core import cache as caches
from pytest_django import Settings

from tests import cast, copies, dealing, passwords
from yards import isolation
from yards.access import viewers
from yards.rules.roles import Viewer

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Playwright

# The same examples at each run, so that a build fails for what was changed, and by no clock: runs
# share their cores. ``--hypothesis-profile=roaming`` looks for others.
hypothesis.settings.register_profile(
    "steady",
    derandomize=True,
    deadline=None,
    suppress_health_check=[hypothesis.HealthCheck.too_slow],
)
hypothesis.settings.register_profile("roaming", deadline=None, print_blob=True)
hypothesis.settings.load_profile("steady")


passwords.cheapen()


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Begin with what takes longest, dealt out to the workers."""
    long = [item for item in items if item.get_closest_marker("long") is not None]
    rest = [item for item in items if item.get_closest_marker("long") is None]
    items[:] = dealing.dealt(long, rest, int(os.environ.get("PYTEST_XDIST_WORKER_COUNT", "1")))


def pytest_collection_finish() -> None:
    """What was imported and collected lives until the end: let it be looked through for garbage
    once, and not again and again for nothing; and what each test leaves not too often."""
    gc.collect()
    gc.freeze()
    gc.set_threshold(50_000, 20, 100)


CHROMIUM = "/usr/bin/chromium"
ROOT = copies.ROOT
environment_of, cloned, a_name, _owner = (
    copies.environment_of,
    copies.cloned,
    copies.a_name,
    copies.owner,
)


@pytest.fixture(scope="session", autouse=True)
def static_files_as_asked() -> None:
    """Look for a static file when one is asked for: else every client that a test makes would
    begin by going through all of them, which costs more than most requests."""
    settings.WHITENOISE_AUTOREFRESH = True


@pytest.fixture(scope="session")
def migrated(tmp_path_factory: pytest.TempPathFactory) -> str:
    """Name of a template with our tables and nothing in them, made once for all workers."""

    def make(name: str) -> None:
        copies.build(name, "template1", *copies.MIGRATE)

    return copies.once(tmp_path_factory, "migrated", make)


@pytest.fixture(scope="session")
def template(tmp_path_factory: pytest.TempPathFactory, migrated: str) -> str:
    """Name of the template database: with the cast, made once for all workers."""

    def make(name: str) -> None:
        copies.build(name, migrated, *copies.CAST)

    return copies.once(tmp_path_factory, "template", make)


@pytest.fixture(scope="session")
def demo_keys(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Folder of the demo's keys, as ``deploy/start`` has them: one for all workers."""
    made = copies.shared(tmp_path_factory) / "demo-keys"
    made.mkdir(exist_ok=True)
    return made


@pytest.fixture(scope="session")
def demo_template(tmp_path_factory: pytest.TempPathFactory, demo_keys: Path, migrated: str) -> str:
    """Name of a template without the cast, in which ``make_demo`` was run instead."""
    demo = f"-m tests.demo --data={demo_keys} --url=http://127.0.0.1:8000"

    def make(name: str) -> None:
        copies.build(name, migrated, (f"{demo} --password={cast.PASSWORD}", "runtime"))

    return copies.once(tmp_path_factory, "demo", make)


@pytest.fixture
def ground(
    request: pytest.FixtureRequest,
    template: str,
    tmp_path_factory: pytest.TempPathFactory,
    django_db_blocker: Any,
) -> str:
    """Name of the template of this test's database: with the cast, and with what the test's mark
    ``built`` makes, which is made once for all tests with that mark."""
    mark = request.node.get_closest_marker("built")
    if mark is None:
        return template
    make: Callable[[], object] = mark.kwargs["by"]

    def onto_the_cast(name: str) -> None:
        copies.copy(template, name)
        with django_db_blocker.unblock(), copies.at(name):
            make()

    return copies.once(tmp_path_factory, f"{make.__module__}.{make.__qualname__}", onto_the_cast)


@pytest.fixture
def database(ground: str, django_db_blocker: Any) -> Iterator[str]:
    """A database of this test's own, with the cast in it; Django is connected as the runtime."""
    with connected(ground, django_db_blocker) as name:
        yield name


@contextmanager
def connected(template: str, django_db_blocker: Any, name: str = "") -> Iterator[str]:
    """Connect Django to a copy of a template, as the runtime."""
    with cloned(template, name) as made, django_db_blocker.unblock(), copies.at(made):
        yield made


@pytest.fixture
def demo(demo_template: str, django_db_blocker: Any) -> Iterator[str]:
    """A database of this test's own with the demo in it; Django is connected as the runtime."""
    with connected(demo_template, django_db_blocker) as name:
        yield name


@pytest.fixture
def own_cache(settings: Settings, worker_id: str) -> Iterator[None]:
    """An empty cache of this test's own in the real Valkey, whatever other workers count there."""
    number = 15 if worker_id == "master" else 14 - int(worker_id.removeprefix("gw"))
    held = settings.CACHES["default"]
    plain = re.sub(r"[?&]db=[0-9]+", "", held["LOCATION"])
    joint = "&" if "?" in plain else "?"
    here = {**held, "LOCATION": f"{plain}{joint}db={number}"}
    settings.CACHES = {**settings.CACHES, "default": here}
    caches.cache.clear()
    yield
    caches.cache.clear()


@pytest.fixture
def environment(database: str) -> dict[str, str]:
    """Environment for child processes that work on this test's database."""
    return environment_of(database)


def viewer_of(key: str) -> Viewer:
    """Return somebody of the cast as a viewer, through the real door."""
    return viewers.viewer_of_token(cast.token(key), cast.ENDS.replace(year=2026))


@pytest.fixture
def inside(database: str) -> object:
    """Open the organisation of somebody in the cast: ``with inside('maud') as viewer``."""

    return as_somebody


@contextmanager
def as_somebody(key: str, *, read_only: bool = False) -> Iterator[Viewer]:
    """Open the organisation of somebody in the cast, wherever Django is connected to."""
    viewer = viewer_of(key)
    with isolation.of(viewer, read_only=read_only):
        yield viewer


@pytest.fixture
def no_standings(database: str) -> None:
    """Take the cast's standings away, for tests that give a few horses standings of their own.

    Only the owner may delete, and only inside the organisation.
    """
    with _owner(database) as owner, owner.transaction():
        owner.execute(
            "SELECT set_config('halfpoint.organisation', %s, true)", [str(cast.ref(cast.QUILLET))]
        )
        owner.execute("DELETE FROM scoring_standing")


@pytest.fixture(scope="session")
def playing() -> "Iterator[Playwright]":
    """Start what drives browsers."""
    # Its event loop stays in this thread, where Django would refuse to ask the database beside it;
    # nothing of ours runs in that loop.
    from playwright.sync_api import sync_playwright

    os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"] = "true"
    with sync_playwright() as playwright:
        yield playwright


def chromium() -> dict[str, Any]:
    """How the browser is started: CHROMIUM, or Debian's; for root it has no sandbox."""
    return {
        "executable_path": os.environ.get("CHROMIUM") or CHROMIUM,
        "args": ["--no-sandbox"] if os.geteuid() == 0 else [],
    }


@pytest.fixture(scope="session")
def browser(playing: "Playwright") -> "Iterator[Browser]":
    """Start the browser, one for all tests of this worker."""
    started = playing.chromium.launch(**chromium())
    yield started
    started.close()
