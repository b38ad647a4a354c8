"""Texts in files of ours: no spreadsheet runs one, and nothing else of it is changed."""

import ast
import csv
import io

import pytest
from hypothesis import given
from hypothesis import strategies as st

from scoring.pages import csv_file
from scoring.rules import csv_cell
from tests.conftest import ROOT
from tests.outside import EXACT, outside


@outside(
    "a text that begins with =, +, -, @, a tab or a null gets an apostrophe before it",
    source="OWASP ASVS 5.0.0, 1.2.10",
    status=EXACT,
)
@pytest.mark.parametrize("sign", ["=", "+", "-", "@", "\t", "\0"])
def test_no_text_in_a_file_is_run_as_a_formula(sign: str) -> None:
    for text in (f"{sign}1+1", f"{sign}SUM(A1)", f"  {sign}x", f"\u00a0{sign}x", f"\n{sign}x"):
        assert csv_cell.harmless(text) == "'" + text


@pytest.mark.parametrize("text", ["＝1", "\r=1", "--2", "-2+3", "-", "-1e9", "-٣", "+44 1632"])
def test_what_only_looks_like_a_figure_is_a_text(text: str) -> None:
    assert csv_cell.harmless(text) == "'" + text


@pytest.mark.parametrize("figure", ["-2", "-0.25", "440.5", "0", "3"])
def test_a_figure_stays_one(figure: str) -> None:
    assert csv_cell.harmless(figure) == figure


@given(st.text())
def test_a_file_is_read_back_as_it_was_written(text: str) -> None:
    made = csv_cell.harmless(text)
    assert made in {text, "'" + text}
    assert made[:1] not in {*"=+@\t\r\n\0"}
    answer = csv_file.response("a", ["one", "two"], [[text.replace("\0", ""), "x"]])
    rows = list(csv.reader(io.StringIO(answer.content.decode("utf-8-sig"), newline="")))
    assert rows[1] == [csv_cell.harmless(text.replace("\0", "")), "x"]


def test_every_file_of_values_is_written_in_one_place() -> None:
    writers = [
        str(path.relative_to(ROOT))
        for app in ("yards", "scoring", "api", "deploy")
        for path in (ROOT / app).rglob("*.py")
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if (isinstance(node, ast.Import) and any(each.name == "csv" for each in node.names))
        or (isinstance(node, ast.Constant) and str(node.value).startswith("text/csv"))
    ]
    assert set(writers) == {"scoring/pages/csv_file.py"}
