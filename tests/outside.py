"""Checks against something outside the project, each with its source, and the table of them.

``python -m tests.outside`` writes the table into DEVELOPERS.md; ``tests/house/test_outside.py``
holds it to the tests.
"""

import ast
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent
GUIDE = ROOT / "DEVELOPERS.md"
BEGIN, END = "<!-- outside checks: begin -->", "<!-- outside checks: end -->"
HEAD = "| what is checked | source | status | test |\n|---|---|---|---|"

EXACT = "exact"
WITHIN_TOLERANCE = "within tolerance"
FROM_MEMORY = "from memory"
COMMON_PRACTICE = "common practice, no published source"
STATUSES = {
    "EXACT": EXACT,
    "WITHIN_TOLERANCE": WITHIN_TOLERANCE,
    "FROM_MEMORY": FROM_MEMORY,
    "COMMON_PRACTICE": COMMON_PRACTICE,
}


def outside(what: str, *, source: str, status: str) -> pytest.MarkDecorator:
    """Mark a test that holds ``what`` against ``source``; a status is one of this module's.

    Exact: every digit that the source prints, or that its code gives, is met. Within tolerance: as
    near as the test says. From memory: the source was not at hand when the value was written down.
    """
    return pytest.mark.outside(what, source=source, status=status)


@dataclass(frozen=True, order=True)
class Row:
    """One line of the table."""

    test: str
    what: str
    source: str
    status: str

    def __str__(self) -> str:
        return f"| {self.what} | {self.source} | {self.status} | `{self.test}` |"


def rows() -> list[Row]:
    """Return every check that a test is marked with, read from the sources, by test."""
    return sorted(row for path in (ROOT / "tests").rglob("test_*.py") for row in _of(path))


def _of(path: Path) -> Iterator[Row]:
    tree = ast.parse(path.read_text(encoding="utf-8"))
    texts = {**STATUSES, **_texts(tree)}
    for node in ast.walk(tree):
        if isinstance(node, ast.FunctionDef):
            marks = [each for each in node.decorator_list if _is_mark(each)]
            for mark in marks:
                test = f"{path.relative_to(ROOT)}::{node.name}"
                yield _row(test, mark, texts)


def _texts(tree: ast.Module) -> dict[str, str]:
    """Return the module's text constants by name."""
    return {
        node.targets[0].id: node.value.value
        for node in tree.body
        if isinstance(node, ast.Assign)
        and isinstance(node.targets[0], ast.Name)
        and isinstance(node.value, ast.Constant)
        and isinstance(node.value.value, str)
    }


def _is_mark(node: ast.expr) -> bool:
    if not isinstance(node, ast.Call):
        return False
    name = node.func.attr if isinstance(node.func, ast.Attribute) else getattr(node.func, "id", "")
    return name == "outside"


def _row(test: str, mark: ast.expr, texts: dict[str, str]) -> Row:
    assert isinstance(mark, ast.Call)
    given = {"what": mark.args[0], **{str(each.arg): each.value for each in mark.keywords}}
    told = {name: _text(test, node, texts) for name, node in given.items()}
    if told["status"] not in STATUSES.values():
        raise ValueError(f"{test}: no status {told['status']!r}")
    return Row(test=test, **told)


def _text(test: str, node: ast.expr, texts: dict[str, str]) -> str:
    name = node.attr if isinstance(node, ast.Attribute) else getattr(node, "id", None)
    found = texts.get(name or "") if name else getattr(node, "value", None)
    if not isinstance(found, str) or "|" in found or "\n" in found:
        raise ValueError(f"{test}: a mark takes texts, or this module's text constants")
    return found


def table() -> str:
    """Return the table as it stands in DEVELOPERS.md, between its marks."""
    return "\n".join((HEAD, *(str(row) for row in rows())))


def written(guide: str) -> str:
    """Return the table that a guide holds."""
    return guide.split(BEGIN)[1].split(END, maxsplit=1)[0].strip()


def main() -> None:
    """Write the table anew."""
    before, rest = GUIDE.read_text(encoding="utf-8").split(BEGIN)
    after = rest.split(END)[1]
    GUIDE.write_text(f"{before}{BEGIN}\n{table()}\n{END}{after}", encoding="utf-8")
    sys.stdout.write(f"{len(rows())} checks\n")


if __name__ == "__main__":
    main()
