"""Stages: fresh copies of the scene, as many as a test asks for."""

from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, contextmanager
from typing import Any

import pytest
from django.db import connections

from tests.conftest import cloned
from tests.doors import scene

Stage = Callable[[], AbstractContextManager[scene.Scene]]


@contextmanager
def _connected(name: str) -> Iterator[None]:
    for alias in connections:
        connections[alias].close()
        connections[alias].settings_dict["NAME"] = name
    try:
        yield
    finally:
        for alias in connections:
            connections[alias].close()


@pytest.fixture(scope="session")
def built(template: str, django_db_blocker: Any) -> Iterator[tuple[str, scene.Scene]]:
    """A database with the scene in it, made once, and the ids of what is there."""
    with cloned(template) as name, django_db_blocker.unblock():
        with _connected(name):
            made = scene.build()
        yield name, made


@pytest.fixture
def stage(built: tuple[str, scene.Scene], django_db_blocker: Any) -> Stage:
    """Open a fresh copy of the scene: ``with stage() as scene``."""
    template, made = built

    @contextmanager
    def opened() -> Iterator[scene.Scene]:
        with cloned(template) as name, django_db_blocker.unblock(), _connected(name):
            yield made

    return opened
