"""A pytest plugin for a lane: the templates of the control serve again, and the rest goes.

``PLANTED_TEMPLATES`` names those as JSON, by kind; a patch to a migration is run without.
"""

import json
import os
from collections.abc import Callable

import pytest

from tests import copies

_once, _copy = copies.once, copies.copy
_shared: dict[str, str] = json.loads(os.environ.get("PLANTED_TEMPLATES") or "{}")
_made: list[str] = []


def _once_or_shared(
    tmp_path_factory: pytest.TempPathFactory, kind: str, make: Callable[[str], None]
) -> str:
    return _shared.get(kind) or _once(tmp_path_factory, kind, make)


def _copied(template: str, name: str) -> None:
    _made.append(name)
    _copy(template, name)


copies.once, copies.copy = _once_or_shared, _copied


@pytest.hookimpl(trylast=True)
def pytest_sessionfinish() -> None:
    """Leave no database behind: tens of runs share one server."""
    for name in _made:
        copies.owner().execute(f'DROP DATABASE IF EXISTS "{name}" WITH (FORCE)')
