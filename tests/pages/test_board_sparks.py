"""The board's small lines: a point lies where its value says, on one scale for all."""

from datetime import UTC, datetime, timedelta
from typing import Any
from xml.etree import ElementTree

import pytest
from django.template import Context, Engine
from hypothesis import given
from hypothesis import strategies as st

from scoring.queries.board_lines import Line, Moment
from scoring.templatetags import sparks
from scoring.templatetags.sparks import Column

NOW = datetime(2026, 11, 26, 9, 41, tzinfo=UTC)
USUAL = Column(sparks.LOW, sparks.HIGH, NOW)
BAND = type("Band", (), {"low": 2.0, "high": 3.0})()


def moment(days: float, level: float, half: float = 0.2) -> Moment:
    return Moment(NOW - timedelta(days=days), level, level - half, level + half)


def row(*runs: tuple[Moment, ...], scale: str = "five", **more: Any) -> dict[str, Any]:
    line = Line(scale, runs, sum(map(len, runs)))
    return {"scale": scale, "line": line, "band": BAND, **more}


def drawn(given_row: dict[str, Any], on: Column = USUAL) -> ElementTree.Element:
    page = Engine.get_default().from_string("{% load sparks %}{% spark row on %}")
    return ElementTree.fromstring(page.render(Context({"row": given_row, "on": on})))  # noqa: S314


def points(svg: ElementTree.Element, kind: str) -> list[list[tuple[float, float]]]:
    return [
        [tuple(map(float, each.split(","))) for each in part.attrib["points"].split()]  # type: ignore[misc]
        for part in svg.iter()
        if part.get("class") == kind
    ]


def test_a_year_ago_is_at_the_left_and_now_at_the_right() -> None:
    svg = drawn(row((moment(365, 2.0), moment(182.5, 3.0), moment(0, 4.0))))
    [line] = points(svg, "sl")
    assert [x for x, _ in line] == pytest.approx([3, 75, 147])


@pytest.mark.parametrize(("value", "y"), [(1.5, 41.0), (3.0, 22.0), (4.5, 3.0)])
def test_a_score_lies_where_it_says(value: float, y: float) -> None:
    svg = drawn(row((moment(30, value, 0.0), moment(10, value, 0.0))))
    [line] = points(svg, "sl")
    assert [at for _, at in line] == [y, y]
    [dot] = [part for part in svg.iter() if part.get("class") == "sp"]
    assert float(dot.attrib["cy"]) == y


def test_the_interval_runs_out_above_and_back_below() -> None:
    svg = drawn(row((moment(300, 2.5, 0.3), moment(20, 3.0, 0.6))))
    [ribbon] = points(svg, "sr")
    expected = [USUAL.y(each, "five") for each in (2.8, 3.6, 2.4, 2.2)]
    assert [y for _, y in ribbon] == pytest.approx(expected, abs=0.06)
    assert [x for x, _ in ribbon][:2] == [x for x, _ in ribbon][:1:-1]


def test_the_band_has_its_edges_where_the_scale_has_them() -> None:
    svg = drawn(row((moment(300, 2.5), moment(20, 3.0))))
    [band] = [part for part in svg.iter() if part.get("class") == "sb"]
    top, height = float(band.attrib["y"]), float(band.attrib["height"])
    assert top == pytest.approx(USUAL.y(3.0, "five"), abs=0.06)
    assert top + height == pytest.approx(USUAL.y(2.0, "five"), abs=0.06)


def test_no_line_joins_two_runs() -> None:
    svg = drawn(row((moment(340, 2), moment(320, 2)), (moment(60, 3), moment(9, 3))))
    assert len(points(svg, "sl")) == len(points(svg, "sr")) == 2


def test_one_scale_for_all_wider_only_where_it_must_be() -> None:
    inside, thin = row((moment(9, 3.0), moment(1, 3.0))), row((moment(9, 0.9), moment(1, 0.8)))
    assert sparks.column([inside], NOW) == USUAL
    assert sparks.column([inside, thin], NOW) == Column(0.5, 4.5, NOW)
    assert sparks.column([], NOW) == USUAL
    assert sparks.column([{"scale": "five", "line": None, "band": None}], NOW) == USUAL


@pytest.mark.parametrize(
    ("value", "scale", "same"),
    [(1, "nine", 0), (5, "nine", 2.5), (9, "nine", 5), (1, "donkey", 0), (3, "donkey", 2.5)],
)
def test_another_scale_is_drawn_by_its_share(value: float, scale: str, same: float) -> None:
    assert sparks.of_five(value, scale) == same


@given(
    st.lists(
        st.tuples(st.floats(0, 400), st.floats(0, 5), st.floats(0, 2)), min_size=1, max_size=30
    )
)
def test_nothing_is_drawn_off_the_drawing(told: list[tuple[float, float, float]]) -> None:
    moments = tuple(
        Moment(NOW - timedelta(days=days), level, max(0, level - half), min(5, level + half))
        for days, level, half in sorted(told, reverse=True)
    )
    found = row(moments)
    svg = drawn(found, sparks.column([found], NOW))
    for x, y in (each for kind in ("sl", "sr") for line in points(svg, kind) for each in line):
        assert 3 <= x <= 147
        assert 2.9 <= y <= 41.1


def test_the_words_say_the_same() -> None:
    svg = drawn(row((moment(300, 3.24), moment(100, 2.8), moment(20, 2.5, 0.3))))
    assert svg.attrib["role"] == "img"
    assert svg.attrib["aria-label"] == (
        "3 scores in 12 months: level from 3.2 to 2.5, at the end 2.2 to 2.8 (80% range)"
    )


def test_without_a_line_words_say_why() -> None:
    assert sparks.words(None) == "Not scored in 12 months"
    assert sparks.words(Line("five", (), 1)) == "1 score in 12 months: too few for a line"
