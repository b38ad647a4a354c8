"""The table of the security standard in the guide: whole, honest in form, each test there."""

import ast
import re

from tests.conftest import ROOT
from tests.outside import EXACT, outside

GUIDE = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
PART = GUIDE[GUIDE.index("## Security") : GUIDE.index("## Settings")]
ROW = re.compile(r"^\| v5\.0\.0-([0-9.]+) \| (.+?) \| (.*?) \| (.*?) \|$", re.MULTILINE)
STATUSES = ("met", "partly", "not met", "by reading")
# Levels 1 and 2, by section: the numbers of its requirements, "1-3" for a run of them.
LEVEL_2 = """
1.1 1-2, 1.2 1-9, 1.3 1-11, 1.4 1-3, 1.5 1-2, 2.1 1-3, 2.2 1-3, 2.3 1-4, 2.4 1, 3.2 1-2,
3.3 1-4, 3.4 1-6, 3.5 1-5, 3.7 1-2, 4.1 1-3, 4.2 1, 4.3 1-2, 4.4 1-4, 5.1 1, 5.2 1-3,
5.3 1-2, 5.4 1-3, 6.1 1-3, 6.2 1-12, 6.3 1-4, 6.4 1-4, 6.5 1-5, 6.6 1-3, 6.8 1-4, 7.1 1-3,
7.2 1-4, 7.3 1-2, 7.4 1-5, 7.5 1-2, 7.6 1-2, 8.1 1-2, 8.2 1-3, 8.3 1, 8.4 1, 9.1 1-3,
9.2 1-4, 10.1 1-2, 10.2 1-2, 10.3 1-4, 10.4 1-11, 10.5 1-5, 10.6 1-2, 10.7 1-3, 11.1 1-2,
11.2 1-3, 11.3 1-3, 11.4 1-4, 11.5 1, 11.6 1, 12.1 1-3, 12.2 1-2, 12.3 1-4, 13.1 1,
13.2 1-5, 13.3 1-2, 13.4 1-5, 14.1 1-2, 14.2 1-4, 14.3 1-3, 15.1 1-3, 15.2 1-3, 15.3 1-7,
16.1 1, 16.2 1-5, 16.3 1-4, 16.4 1-3, 16.5 1-3, 17.1 1, 17.2 1-4, 17.3 1-2
"""


def numbers(section: str, run: str) -> set[str]:
    first, _, last = run.partition("-")
    return {f"{section}.{each}" for each in range(int(first), int(last or first) + 1)}


def not_here() -> set[str]:
    """What the guide names as of things that are not here: "10.4.1-11", "4.3.1"."""
    [line] = re.findall(r"^Does not apply: (.+?)\n\n", PART, re.MULTILINE | re.DOTALL)
    found: set[str] = set()
    for section, run in re.findall(r"v5\.0\.0-([0-9]+\.[0-9]+)\.([0-9]+(?:-[0-9]+)?)", line):
        found |= numbers(section, run)
    return found


@outside(
    "every requirement of levels 1 and 2 has a line: its status, or that it does not apply",
    source="OWASP ASVS 5.0.0, the published table",
    status=EXACT,
)
def test_no_requirement_is_left_out_and_none_is_told_twice() -> None:
    sections = (each.split() for each in LEVEL_2.split(","))
    wanted = {each for section, run in sections for each in numbers(section, run)}
    rows = [number for number, *_ in ROW.findall(PART)]
    assert len(rows) == len(set(rows)) == PART.count("\n| v5.0.0-")
    assert not set(rows) & not_here()
    assert {*rows, *not_here()} == wanted
    assert len(wanted) == 253


def test_each_status_is_one_of_ours_and_what_is_met_names_a_test() -> None:
    for number, _, status, shown in ROW.findall(PART):
        assert status.startswith(STATUSES), number
        assert not status.startswith("met") or "::" in shown, number
        assert not status.startswith("by reading") or not shown, number
    found = {
        next(each for each in STATUSES if row[2].startswith(each)) for row in ROW.findall(PART)
    }
    assert found == set(STATUSES)


def test_each_test_that_the_table_names_is_there() -> None:
    named = {each for *_, shown in ROW.findall(PART) for each in re.findall(r"`([^`]+)`", shown)}
    assert len(named) > 60
    missing = [each for each in sorted(named) if not is_there(*each.split("::"))]
    assert missing == []


def is_there(path: str, name: str) -> bool:
    file = ROOT / "tests" / path
    if not file.exists():
        return False
    tree = ast.parse(file.read_text(encoding="utf-8"))
    return any(isinstance(node, ast.FunctionDef) and node.name == name for node in tree.body)


def test_the_list_of_cryptography_is_there() -> None:
    for name in ("SHA-256", "Argon2id", "HMAC", "TOTP"):
        assert name in PART
