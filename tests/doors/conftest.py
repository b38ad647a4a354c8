"""Stages: copies of the scene, as many as a test asks for."""

from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, ExitStack, contextmanager
from typing import Any

import pytest

from tests import copies
from tests.doors import ended, scene

Stage = Callable[[], AbstractContextManager[scene.Scene]]


@pytest.fixture(scope="session")
def built(template: str, django_db_blocker: Any) -> Iterator[tuple[str, scene.Scene]]:
    """A database with the scene in it, made once, and the ids of what is there."""
    with copies.cloned(template) as name, django_db_blocker.unblock():
        with copies.at(name):
            made = scene.build()
            made.sign_in()
            ended.add(made)
            made.theirs |= ended.theirs()
        yield name, made


@pytest.fixture
def stage(built: tuple[str, scene.Scene], django_db_blocker: Any) -> Stage:
    """Open a fresh copy of the scene: ``with stage() as scene``."""
    template, made = built

    @contextmanager
    def opened() -> Iterator[scene.Scene]:
        with copies.cloned(template) as name, django_db_blocker.unblock(), copies.at(name):
            yield made

    return opened


@pytest.fixture(scope="session")
def _looked_at(built: tuple[str, scene.Scene]) -> Iterator[str]:
    """A copy of the scene that all tests of a worker look at, and none may write to."""
    with ExitStack() as until_the_end:
        name = copies.a_name()
        until_the_end.enter_context(copies.cloned(built[0], name))
        yield name


@pytest.fixture
def gallery(built: tuple[str, scene.Scene], _looked_at: str, django_db_blocker: Any) -> Stage:
    """Open the scene to look at it, or to be refused: ``with gallery() as scene``.

    What is written there stays for the next test: only an auditor's looks may be. So does the
    connection, until somebody goes to another database: a fresh one has all to learn again.
    """

    @contextmanager
    def opened() -> Iterator[scene.Scene]:
        with django_db_blocker.unblock():
            copies.go_to(_looked_at)
            yield built[1]

    return opened
