"""The keys of the demo on disk: who may sign in, and with what. For this user's eyes alone."""

import json
import os
from pathlib import Path
from typing import Any


def write(path: Path, facts: dict[str, Any]) -> None:
    """Write JSON that only we can read (mode 0600), whole or not at all."""
    making = path.with_name(path.name + ".making")
    making.unlink(missing_ok=True)
    handle = os.open(making, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    with os.fdopen(handle, "w") as file:
        file.write(json.dumps(facts, indent=1) + "\n")
        file.flush()
        os.fsync(file.fileno())
    making.replace(path)


def read(path: Path) -> dict[str, Any] | None:
    """Return what was written, or None where nothing was."""
    if not path.exists():
        return None
    found: dict[str, Any] = json.loads(path.read_text())
    return found
