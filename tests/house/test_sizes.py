"""Small files, small functions, and names that say what is in them."""

import ast
import subprocess
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.conftest import ROOT

MOST_LINES, MOST_IN_FUNCTION = 300, 40
BANNED = {"utils", "helpers", "common", "misc", "services"}
WRITTEN = {".py", ".js", ".css", ".html", ".txt", ".md", ".json", ".toml", ""}
# Longer than the cap, each for a reason that does not go away by cutting it up.
LONG = {
    "uv.lock": "written by uv",
    "scoring/migrations/0001_tables.py": "written by makemigrations",
    "yards/migrations/0001_tables.py": "written by makemigrations",
    "DEVELOPERS.md": "ends with a table that the tests write",
    "deploy/settings.py": "Django reads its settings from one module",
    "tests/doors/pages.py": "one table: a row for each page",
}
# Functions over the cap that would not be clearer in parts.
LONG_FUNCTIONS = {
    ("scoring/actions/weighings.py", "_recorded"): "the steps of one write, in their order",
    ("scoring/pages/answers.py", "scored"): "a page's facts, one a line",
    ("scoring/queries/assessments.py", "_answer"): "an answer's fields, one a line",
    (
        "tests/journeys/test_reading_to_mail.py",
        "test_a_reading_goes_in_and_the_right_people_are_told",
    ): "one story from end to end",
}
# Directories of Python whose files are code that we wrote.
CODE = ("yards", "scoring", "api", "deploy", "tests", "manage.py")


def ours() -> list[str]:
    """Every file that is ours to keep, by its path from the top."""
    kept = subprocess.run(
        ["git", "ls-files", "--cached", "--others", "--exclude-standard"],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    )
    if kept.returncode == 0:
        found = kept.stdout.splitlines()
    else:  # an unpacked release, with no history beside it
        found = [str(each.relative_to(ROOT)) for each in ROOT.rglob("*") if each.is_file()]
    skipped = (".venv/", ".halfpoint/", ".git/")
    return sorted({each for each in found if (ROOT / each).is_file() and not _in(each, skipped)})


def _in(path: str, folders: tuple[str, ...]) -> bool:
    return path.startswith(folders) or "__pycache__" in path or "_cache/" in path


def python() -> list[str]:
    """Every file of Python, the scripts without an ending too."""
    return [
        each
        for each in ours()
        if each.startswith(CODE)
        and (each.endswith(".py") or (ROOT / each).read_bytes()[:21] == b"#!/usr/bin/env python")
    ]


def lines_of(path: str) -> int:
    return len((ROOT / path).read_text(encoding="utf-8").splitlines())


def functions(source: str) -> Iterator[tuple[str, int]]:
    """Every function and method with the length of what it does: its docstring says, not does."""
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
            said = ast.get_docstring(node, clean=False) is not None
            body = node.body[1:] if said else node.body
            first = body[0].lineno if body else node.lineno
            yield node.name, (node.end_lineno or first) - first + 1


def long_functions() -> list[tuple[str, str, int]]:
    """Every function over the cap: its file, its name, its length."""
    return [
        (path, name, length)
        for path in python()
        for name, length in functions((ROOT / path).read_text(encoding="utf-8"))
        if length > MOST_IN_FUNCTION
    ]


def test_no_file_is_longer_than_the_cap() -> None:
    written = [each for each in ours() if Path(each).suffix in WRITTEN and each not in LONG]
    assert len(written) > 200
    assert [f"{each}: {n}" for each in written if (n := lines_of(each)) > MOST_LINES] == []


def test_no_exception_has_outlived_its_reason() -> None:
    assert [each for each in LONG if lines_of(each) <= MOST_LINES] == []
    assert LONG_FUNCTIONS.keys() - {(path, name) for path, name, _ in long_functions()} == set()


def test_no_function_is_longer_than_the_cap() -> None:
    found = [each for each in long_functions() if each[:2] not in LONG_FUNCTIONS]
    assert found == []


def test_no_file_is_named_for_nothing() -> None:
    stems = {part for each in ours() for part in Path(each).with_suffix("").parts}
    assert stems & BANNED == set()


@pytest.mark.parametrize("length", [MOST_IN_FUNCTION, MOST_IN_FUNCTION + 1])
def test_the_measure_can_tell(length: int) -> None:
    source = "@decorated\ndef f(\n    x: int\n) -> None:\n    'Say.'\n" + "    x = 1\n" * length
    assert list(functions(source)) == [("f", length)]
