"""The table of outside checks says what the tests are marked with."""

import ast
import subprocess
import sys
from pathlib import Path

import pytest

from tests import outside

ROOT = Path(__file__).resolve().parents[2]
ORACLES = {"scipy", "sklearn", "pingouin", "krippendorff", "statsmodels", "pandas"}
PRODUCT = ("yards", "scoring", "api", "deploy")


def test_the_guide_holds_the_table_as_the_tests_are_marked() -> None:
    guide = outside.GUIDE.read_text(encoding="utf-8")
    assert outside.written(guide) == outside.table(), "run: python -m tests.outside"
    assert len(outside.rows()) > 20


def test_every_status_is_used_and_each_check_names_its_source() -> None:
    rows = outside.rows()
    assert {row.status for row in rows} == set(outside.STATUSES.values())
    assert all(row.source and row.what for row in rows)


def test_a_mark_without_a_known_status_is_refused(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(outside, "ROOT", tmp_path)
    file = tmp_path / "tests" / "test_it.py"
    file.parent.mkdir()
    mark = '@outside("a", source="b", status="sure")\ndef test_a(): ...\n'
    file.write_text(mark)
    with pytest.raises(ValueError, match="no status 'sure'"):
        outside.rows()
    file.write_text(mark.replace('"sure"', "EXACT"))
    assert str(outside.rows()[0]) == "| a | b | exact | `tests/test_it.py::test_a` |"


def imported(path: Path) -> set[str]:
    found = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            found |= {each.name.split(".")[0] for each in node.names}
        elif isinstance(node, ast.ImportFrom) and node.module:
            found.add(node.module.split(".")[0])
    return found


def test_the_product_never_imports_what_it_is_checked_by() -> None:
    sources = [path for name in PRODUCT for path in (ROOT / name).rglob("*.py")]
    assert len(sources) > 100
    assert [str(path) for path in sources if imported(path) & ORACLES] == []


@pytest.mark.parametrize("library", ["numpy", "PIL"])
def test_serving_does_not_load_what_few_requests_need(library: str) -> None:
    """A web process pays for no maths that a worker does, and for pictures when one comes."""
    code = (
        "import sys, django; django.setup(); "
        "from django.urls import get_resolver; get_resolver().url_patterns; "
        f"import deploy.urls, scoring.tasks; print({library!r} in sys.modules)"
    )
    ran = subprocess.run(
        [sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=False
    )
    assert ran.stdout.strip() == "False", ran.stderr
