"""Stages: fresh copies of the scene, as many as a test asks for."""

from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, contextmanager
from typing import Any

import pytest

from tests import copies
from tests.doors import scene

Stage = Callable[[], AbstractContextManager[scene.Scene]]


@pytest.fixture(scope="session")
def built(template: str, django_db_blocker: Any) -> Iterator[tuple[str, scene.Scene]]:
    """A database with the scene in it, made once, and the ids of what is there."""
    with copies.cloned(template) as name, django_db_blocker.unblock():
        with copies.at(name):
            made = scene.build()
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
