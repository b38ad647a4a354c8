"""The one loader of ``fixtures/*.json``: data with sources, served to phones as they stand."""

import json
from functools import cache
from pathlib import Path
from typing import Any

FOLDER = Path(__file__).resolve().parents[2] / "fixtures"


@cache
def load(name: str) -> Any:
    """Return what a fixture holds, read once. Callers read it only, they never change it."""
    return json.loads((FOLDER / f"{name}.json").read_text(encoding="utf-8"))
