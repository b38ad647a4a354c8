"""Databases for tests: templates, each made once a run, and copies of them that live for a test."""

import fcntl
import os
import subprocess
import sys
import uuid
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from functools import cache
from pathlib import Path
from urllib.parse import urlsplit, urlunsplit

import psycopg
import pytest
from django.db import connections

ROOT = Path(__file__).resolve().parent.parent
URLS = ("DATABASE_URL", "DATABASE_OWNER_URL", "DATABASE_RELAY_URL")
# Without the checks of the whole project first: a test of ``deploy/start`` has them.
MIGRATE = (("manage.py migrate --skip-checks", "owner"),)
CAST = (("-m tests.cast", "runtime"),)
# Copies whose tests are over; what is left of them at the end goes with the server.
_over: list[str] = []


def _on(url: str, database: str) -> str:
    parts = urlsplit(url)
    return urlunsplit(parts._replace(path=f"/{database}"))


def owner(database: str = "postgres") -> psycopg.Connection:
    """A connection of the role that owns the tables."""
    return psycopg.connect(_on(os.environ["DATABASE_OWNER_URL"], database), autocommit=True)


@cache
def _maker() -> psycopg.Connection:
    """The owner's connection that makes and drops databases, kept: each new one is work."""
    return owner()


def environment_of(database: str, **extra: str) -> dict[str, str]:
    """Environment for child processes that work on a database."""
    urls = {name: _on(os.environ[name], database) for name in URLS}
    return {**os.environ, **urls, "PYTHONPATH": str(ROOT), **extra}


def a_name() -> str:
    """Return a name for a database that no other has."""
    return f"hp_{uuid.uuid4().hex[:16]}"


def copy(template: str, name: str) -> None:
    """Copy a template as files: to write its pages into the log of transactions is twice the work.

    Needs nobody to be connected to the template.
    """
    _maker().execute(f'CREATE DATABASE "{name}" TEMPLATE "{template}" STRATEGY FILE_COPY')


def build(name: str, base: str, *commands: tuple[str, str]) -> None:
    """Copy a template and run commands on it, each as a role."""
    copy(base, name)
    for command, role in commands:
        done = subprocess.run(
            [sys.executable, *command.split()],
            cwd=ROOT,
            env=environment_of(name, HALFPOINT_ROLE=role),
            check=False,
            capture_output=True,
            text=True,
        )
        if done.returncode:
            pytest.exit(f"{command} failed:\n{done.stdout}{done.stderr}", returncode=4)


def shared(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder of the run, one for all workers."""
    folder = tmp_path_factory.getbasetemp()
    return folder.parent if "PYTEST_XDIST_WORKER" in os.environ else folder


def once(tmp_path_factory: pytest.TempPathFactory, kind: str, make: Callable[[str], None]) -> str:
    """Return the name of a template, made by whichever worker comes first."""
    missing = [name for name in URLS if name not in os.environ]
    if missing:
        pytest.exit(f"{missing[0]} is not set: run the tests with deploy/test", returncode=4)
    folder = shared(tmp_path_factory)
    made = folder / kind
    with (folder / f"{kind}.lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        if not made.exists():
            name = a_name()
            make(name)
            made.write_text(name)
    return made.read_text()


def go_to(name: str) -> None:
    """Connect Django to a database, unless it is there already."""
    for alias in connections:
        if connections[alias].settings_dict["NAME"] != name:
            connections[alias].close()
            connections[alias].settings_dict["NAME"] = name


@contextmanager
def at(name: str) -> Iterator[None]:
    """Connect Django to a database; nobody is connected to it afterwards."""
    go_to(name)
    try:
        yield
    finally:
        for alias in connections:
            connections[alias].close()


@contextmanager
def cloned(template: str, name: str = "") -> Iterator[str]:
    """A fresh copy of the template, dropped afterwards.

    One without a name of its own is dropped before the next is made: by then nobody is connected
    to it, and nobody has to be waited for.
    """
    while _over:
        drop(_over.pop())
    made = name or a_name()
    copy(template, made)
    try:
        yield made
    finally:
        if name:
            drop(made)
        else:
            _over.append(made)


def drop(name: str) -> None:
    """Drop a copy, whoever is still connected to it."""
    _maker().execute(f'DROP DATABASE "{name}" WITH (FORCE)')
