"""Every database test runs on its own copy of a real PostgreSQL database, as the runtime role.

The template is migrated by the owner and filled with the cast once a run; each test clones it.
There is never a wrapping test transaction, since isolation is a property of transactions.
"""

import fcntl
import os
import re
import subprocess
import sys
import time
import uuid
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any
from urllib.parse import urlsplit, urlunsplit

import hypothesis
import psycopg
import pytest
from django.conf import settings
from django.core.cache import cache
from django.db import connections
from pytest_django import Settings

from tests import cast
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
CHROMIUM = "/usr/bin/chromium"
ROOT = Path(__file__).resolve().parent.parent
URLS = ("DATABASE_URL", "DATABASE_OWNER_URL", "DATABASE_RELAY_URL")


def _on(url: str, database: str) -> str:
    parts = urlsplit(url)
    return urlunsplit(parts._replace(path=f"/{database}"))


def _owner(database: str = "postgres") -> psycopg.Connection:
    return psycopg.connect(_on(os.environ["DATABASE_OWNER_URL"], database), autocommit=True)


def environment_of(database: str, **extra: str) -> dict[str, str]:
    urls = {name: _on(os.environ[name], database) for name in URLS}
    return {**os.environ, **urls, "PYTHONPATH": str(ROOT), **extra}


MIGRATE = (("manage.py migrate", "owner"),)
CAST = (("-m tests.cast", "runtime"),)


def _build(template: str, *commands: tuple[str, str]) -> None:
    with _owner() as owner:
        owner.execute(f'CREATE DATABASE "{template}"')
    with _owner(template) as owner:
        owner.execute("REVOKE ALL ON SCHEMA public FROM public")
        owner.execute(
            f"GRANT USAGE ON SCHEMA public TO {settings.RUNTIME_ROLE}, {settings.RELAY_ROLE}"
        )
    for command, role in commands:
        done = subprocess.run(
            [sys.executable, *command.split()],
            cwd=ROOT,
            env=environment_of(template, HALFPOINT_ROLE=role),
            check=False,
            capture_output=True,
            text=True,
        )
        if done.returncode:
            pytest.exit(f"{command} failed:\n{done.stdout}{done.stderr}", returncode=4)


@pytest.fixture(scope="session")
def template(tmp_path_factory: pytest.TempPathFactory) -> str:
    """Name of the template database: migrated, with the cast, made once for all workers."""
    return _made(tmp_path_factory, "template", *MIGRATE, *CAST)


@pytest.fixture(scope="session")
def demo_keys(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Folder of the demo's keys, as ``deploy/start`` has them: one for all workers."""
    made = _shared(tmp_path_factory) / "demo-keys"
    made.mkdir(exist_ok=True)
    return made


@pytest.fixture(scope="session")
def demo_template(tmp_path_factory: pytest.TempPathFactory, demo_keys: Path) -> str:
    """Name of a template without the cast, in which ``make_demo`` was run instead."""
    demo = f"manage.py make_demo --data={demo_keys} --url=http://127.0.0.1:8000"
    made = (f"{demo} --password={cast.PASSWORD}", "runtime")
    return _made(tmp_path_factory, "demo", *MIGRATE, made)


def _shared(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.getbasetemp()
    return folder.parent if "PYTEST_XDIST_WORKER" in os.environ else folder


def _made(tmp_path_factory: pytest.TempPathFactory, kind: str, *commands: tuple[str, str]) -> str:
    """Return the name of a template, made by whichever worker comes first."""
    missing = [name for name in URLS if name not in os.environ]
    if missing:
        pytest.exit(f"{missing[0]} is not set: run the tests with deploy/test", returncode=4)
    folder = _shared(tmp_path_factory)
    made = folder / kind
    with (folder / f"{kind}.lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        if not made.exists():
            name = f"hp_{kind}_{uuid.uuid4().hex[:12]}"
            _build(name, *commands)
            made.write_text(name)
    return made.read_text()


def a_name() -> str:
    """Return a name for a database that no other has."""
    return f"hp_{uuid.uuid4().hex[:16]}"


@contextmanager
def cloned(template: str, name: str = "") -> Iterator[str]:
    """A fresh copy of the template, dropped afterwards."""
    name = name or a_name()
    with _owner() as owner:
        owner.execute(f'CREATE DATABASE "{name}" TEMPLATE "{template}"')
    try:
        yield name
    finally:
        _drop(name)


def _drop(name: str) -> None:
    """Drop a copy, whoever is still connected to it.

    An autovacuum worker in it, which is not ours to end, is gone in a moment; only the roles
    themselves may end what they began.
    """
    for wait in (0.1, 0.3, 1.0, 3.0, None):
        try:
            with _owner() as owner:
                owner.execute(f'DROP DATABASE "{name}" WITH (FORCE)')
            return
        except (psycopg.errors.InsufficientPrivilege, psycopg.errors.ObjectInUse):
            if wait is None:
                raise
            _leave(name)
            time.sleep(wait)


def _leave(name: str) -> None:
    for url in ("DATABASE_URL", "DATABASE_RELAY_URL"):
        with psycopg.connect(_on(os.environ[url], name), autocommit=True) as role:
            role.execute(
                "SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE datname = %s "
                "AND usename = current_user AND pid <> pg_backend_pid()",
                [name],
            )


@pytest.fixture
def database(template: str, django_db_blocker: Any) -> Iterator[str]:
    """A database of this test's own, with the cast in it; Django is connected as the runtime."""
    with connected(template, django_db_blocker) as name:
        yield name


@contextmanager
def connected(template: str, django_db_blocker: Any, name: str = "") -> Iterator[str]:
    """Connect Django to a copy of a template, as the runtime."""
    with cloned(template, name) as made, django_db_blocker.unblock():
        for alias in connections:
            connections[alias].close()
            connections[alias].settings_dict["NAME"] = made
        yield made
        for alias in connections:
            connections[alias].close()


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
    cache.clear()
    yield
    cache.clear()


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

    @contextmanager
    def opened(key: str, *, read_only: bool = False) -> Iterator[Viewer]:
        viewer = viewer_of(key)
        with isolation.of(viewer, read_only=read_only):
            yield viewer

    return opened


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
