"""Every planted bug still fits the tree, and the runner can tell one that is caught.

``deploy/planted`` runs them; this sees, in a moment, that it could.
"""

import ast
import re
from pathlib import Path

import pytest

from tests.conftest import ROOT
from tests.doors import matrix
from tests.planted import patches, run
from tests.planted.lane import Lane, Ran
from tests.planted.patches import DoesNotFit, Patch

ALL = patches.all_of()
PRODUCT = ("yards/", "scoring/", "api/", "deploy/")
ROWS = {str(row) for row in (*matrix.API, *matrix.PAGES)}
ENDED = "    if ended:\n        raise Refused\n"
PLANTED = """# what: nobody is refused
# layer: doors
# caught by: tests/test_a.py::test_b
--- a/a.py
+++ b/a.py
@@ -70,3 +70,1 @@
-    if ended:
-        raise Refused
"""


def functions(path: str) -> set[str]:
    """The names of the tests in a file."""
    found = ast.walk(ast.parse((ROOT / path).read_text(encoding="utf-8")))
    return {each.name for each in found if isinstance(each, ast.FunctionDef)}


def test_there_are_thirty_and_more_in_every_layer() -> None:
    assert len(ALL) >= 30
    assert {each.layer for each in ALL.values()} == set(patches.LAYERS)
    numbers = [name.partition("-")[0] for name in ALL]
    assert len(set(numbers)) == len(numbers)


@pytest.mark.parametrize("patch", ALL.values(), ids=ALL)
def test_a_patch_fits_and_plants_working_code_in_the_product(patch: Patch) -> None:
    for path, text in patch.applied(ROOT).items():
        assert path.startswith(PRODUCT)
        before = ast.dump(ast.parse((ROOT / path).read_text(encoding="utf-8")))
        assert ast.dump(ast.parse(text)) != before


@pytest.mark.parametrize("patch", ALL.values(), ids=ALL)
def test_a_patch_names_tests_that_there_are(patch: Patch) -> None:
    for each in patch.tests:
        path, _, name = each.partition("::")
        assert name.partition("[")[0] in functions(path)
        if row := re.search(r"\[((?:GET|POST|PATCH) \S+)\]", name):
            assert row[1] in ROWS


def test_a_patch_is_found_by_its_lines_wherever_they_stand(tmp_path: Path) -> None:
    planted = patches.read("01-nobody", PLANTED)
    assert (planted.layer, planted.tests) == ("doors", ("tests/test_a.py::test_b",))
    file = tmp_path / "a.py"
    file.write_text(f"def a():\n{ENDED}    return 1\n")
    assert planted.applied(tmp_path) == {"a.py": "def a():\n    return 1\n"}
    for gone in ("def a():\n    return 1\n", f"{ENDED}\n{ENDED}", "  " + ENDED):
        file.write_text(gone)
        with pytest.raises(DoesNotFit, match=r"01-nobody: a\.py"):
            planted.applied(tmp_path)
    file.unlink()
    with pytest.raises(DoesNotFit, match=r"there is no a\.py"):
        planted.applied(tmp_path)


@pytest.mark.parametrize("left_out", ["# what", "# layer", "# caught by", "-    "])
def test_half_a_patch_is_none(left_out: str) -> None:
    kept = [each for each in PLANTED.splitlines() if not each.startswith(left_out)]
    with pytest.raises(DoesNotFit, match="01-half"):
        patches.read("01-half", "\n".join(kept))


def test_a_bug_is_caught_by_a_test_that_failed_and_by_nothing_else() -> None:
    planted = patches.read("01-nobody", PLANTED)
    caught = Ran(1, ("test_a::test_b",))
    assert caught.is_caught
    assert run.Found(planted, caught).said == "test_a::test_b"
    for other in (
        Ran(0),  # the bug was not seen
        Ran(4),  # there is no such test
        Ran(2),
        Ran(1),
        Ran(1, broken=("test_a::test_b",)),  # the planted code does not even run
        Ran(1, ("test_a::test_b",), ("test_a::test_c",)),
    ):
        assert not other.is_caught
        assert "NOT CAUGHT" in run.Found(planted, other).said


def test_what_failed_is_told_from_what_could_not_be_run(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """By pytest itself, in a tree of one file, planted and whole again."""
    monkeypatch.setenv("PYTEST_DISABLE_PLUGIN_AUTOLOAD", "1")
    there = Lane(tmp_path)
    there.tree.mkdir()
    (there.tree / "pyproject.toml").write_text("[tool.pytest.ini_options]\n")
    whole = "def test_a() -> None:\n    assert 1 == 1\n"
    (there.tree / "test_it.py").write_text(whole)
    with there.planted({"test_it.py": whole.replace("== 1", "== 2")}):
        ran = there.run(["test_it.py"])
        assert (ran.is_caught, ran.failed) == (True, ("test_it::test_a",))
    with there.planted({"test_it.py": whole.replace("1 ==", "one ==")}):
        ran = there.run(["test_it.py"])
        assert (ran.is_caught, ran.broken) == (False, ("test_it::test_a",))
    assert there.run(["test_it.py"]).code == 0
    assert there.run(["test_it.py::test_b"]).code == 4
