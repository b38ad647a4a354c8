"""The small drawings: a point lies where its value says, and the words say the same.

Scales: five runs 0 to 5 (Carroll and Huntington 1988, Equine Vet J 20:41-45); nine runs 1 to 9
(Henneke et al. 1983, Equine Vet J 15:371-372); the donkey chart runs 1 to 5 (England's statutory
code of practice for equines, 2017, prints one of its own; first and last mark from memory).
"""

import itertools
from decimal import Decimal
from typing import Any
from xml.etree import ElementTree

import pytest
from django.template import Context, Engine
from django.template.loader import render_to_string
from django.utils import translation
from hypothesis import given
from hypothesis import strategies as st

from scoring.templatetags import drawings
from tests.outside import EXACT, FROM_MEMORY, outside

HALVES = [Decimal(half) / 2 for half in range(11)]
SPRING = {
    "neck_and_shoulder": Decimal("3.5"),
    "back_and_ribs": Decimal("5.0"),
    "hindquarters": Decimal("4.0"),
}


def row(**changes: Any) -> dict[str, Any]:
    """A board row as the template gets it: fat in spring, back and ribs the fattest."""
    return {
        "scale": "five",
        "regions": SPRING,
        "fattest": ["back_and_ribs"],
        "overall": Decimal("4.17"),
        "band": {"low": Decimal("2.0"), "aim": Decimal("2.5"), "high": Decimal("3.0")},
    } | changes


def drawn(given_row: dict[str, Any]) -> ElementTree.Element:
    """The glyph as the page has it, read back as XML."""
    engine = Engine.get_default()
    page = engine.from_string("{% load drawings %}{% beams row %}")
    return ElementTree.fromstring(page.render(Context({"row": given_row})))  # noqa: S314 (our own)


def marks(svg: ElementTree.Element, kind: str) -> list[ElementTree.Element]:
    return [part for part in svg.iter() if part.get("class") == kind]


def runs_from(low: int, high: int, scale: str) -> None:
    start, end = drawings.LEFT, drawings.LEFT + drawings.LENGTH
    assert drawings.along(low, scale) == pytest.approx(start)
    assert drawings.along(high, scale) == pytest.approx(end)
    assert drawings.along((low + high) / 2, scale) == pytest.approx((start + end) / 2)


@outside(
    "one scale runs 0 to 5, the other 1 to 9",
    source="Carroll and Huntington 1988, Equine Vet J 20:41-45; Henneke et al. 1983, "
    "Equine Vet J 15:371-372",
    status=EXACT,
)
@pytest.mark.parametrize(("scale", "low", "high"), [("five", 0, 5), ("nine", 1, 9)])
def test_a_beam_runs_from_the_scales_first_mark_to_its_last(
    scale: str, low: int, high: int
) -> None:
    runs_from(low, high, scale)


@outside(
    "the donkeys' chart runs 1 to 5",
    source="England's statutory code of practice for equines, 2017",
    status=FROM_MEMORY,
)
def test_the_donkeys_beam_runs_from_its_first_mark_to_its_last() -> None:
    runs_from(1, 5, "donkey")


def test_every_half_point_is_the_same_step() -> None:
    places = [drawings.along(value, "five") for value in HALVES]
    steps = {round(after - before, 6) for before, after in itertools.pairwise(places)}
    assert steps == {12.0}


@given(st.sampled_from(["five", "nine", "donkey"]), st.floats(0, 1))
def test_a_value_can_be_read_back_from_its_place(scale: str, share: float) -> None:
    low, high = drawings.span(scale)
    value = low + share * (high - low)
    place = drawings.along(value, scale)
    read = low + (place - drawings.LEFT) / drawings.LENGTH * (high - low)
    assert read == pytest.approx(value, abs=1e-9)


@given(st.floats(-100, 100))
def test_no_value_leaves_the_beam(value: float) -> None:
    assert drawings.LEFT <= drawings.along(value, "nine") <= drawings.LEFT + drawings.LENGTH


def test_points_of_the_page_lie_at_their_scores() -> None:
    svg = drawn(row())
    circles = [(float(c.attrib["cx"]), float(c.attrib["cy"])) for c in marks(svg, "bp")]
    assert circles == [(16 + 24 * 3.5, 9.0), (16 + 24 * 4.0, 35.0)]
    (diamond,) = marks(svg, "bf")
    assert diamond.attrib["d"].startswith("M136 22m")
    assert [text.text for text in marks(svg, "bl on")] == ["B"]


def test_the_beam_ends_where_its_point_lies() -> None:
    ends = [beam.attrib["d"] for beam in marks(drawn(row()), "bm")]
    assert ends == ["M16 9H100", "M16 22H136", "M16 35H112"]


def test_band_edges_lie_at_the_bands_values() -> None:
    svg = drawn(row())
    (band,) = marks(svg, "bd")
    assert (float(band.attrib["x"]), float(band.attrib["width"])) == (16 + 24 * 2.0, 24 * 1.0)


def test_a_tie_has_no_diamond_and_no_heavy_letter() -> None:
    svg = drawn(row(fattest=["neck_and_shoulder", "hindquarters"]))
    assert marks(svg, "bf") == []
    assert marks(svg, "bl on") == []
    assert len(marks(svg, "bp")) == 3
    assert "Fattest" not in svg.attrib["aria-label"]


def test_a_region_not_safe_to_palpate_keeps_an_empty_beam_and_is_said() -> None:
    svg = drawn(row(regions=SPRING | {"back_and_ribs": None}, fattest=[]))
    assert len(marks(svg, "bp")) == 2
    assert len(marks(svg, "bl")) == 3
    assert "back and ribs no score" in svg.attrib["aria-label"]


def test_the_words_say_what_the_points_show() -> None:
    assert drawn(row()).attrib["aria-label"] == (
        "Neck and shoulder 3½; back and ribs 5; hindquarters 4. Fattest: back and ribs. "
        "Target band 2 to 3."
    )


def test_an_answer_draws_the_regions_as_counted_not_as_felt() -> None:
    felt = SPRING | {"back_and_ribs": Decimal("4.5")}
    (diamond,) = marks(drawn(row(regions=felt, regions_used=SPRING)), "bf")
    assert diamond.attrib["d"].startswith("M136 ")


def test_a_whole_animal_scale_has_one_beam_on_its_own_scale() -> None:
    svg = drawn(row(scale="donkey", regions=None, overall=Decimal("3.0"), fattest=[], band=None))
    (point,) = marks(svg, "bp")
    assert (float(point.attrib["cx"]), float(point.attrib["cy"])) == (76.0, 22.0)
    assert marks(svg, "bl") == []
    assert marks(svg, "bd") == []


def test_no_locale_puts_a_comma_into_a_coordinate() -> None:
    # 1.1 on nine falls at 17.5: a locale with decimal commas would write 17,5.
    with translation.override("de"):
        svg = drawn(row(scale="nine", regions=None, overall=Decimal("1.1"), fattest=[], band=None))
    (point,) = marks(svg, "bp")
    assert point.attrib["cx"] == "17.5"


def test_drawings_carry_no_inline_style() -> None:
    for text in (
        ElementTree.tostring(drawn(row()), encoding="unicode"),
        render_to_string("scoring/drawings/_horse_parts.html"),
    ):
        assert "style=" not in text
        assert "<style" not in text


@pytest.mark.parametrize(
    ("value", "said"),
    [("0", "0"), ("0.5", "½"), ("2.5", "2½"), ("5.0", "5"), ("2.75", "2.75"), (None, "–")],
)
def test_halves_are_said_as_hands_say_them(value: str | None, said: str) -> None:
    assert drawings.half(None if value is None else Decimal(value)) == said


def test_the_due_bar_reaches_its_tick_when_time_is_used_up_and_passes_it_when_overdue() -> None:
    assert float(drawings.due_end(0)) == drawings.DUE_START
    assert float(drawings.due_end(1)) == drawings.DUE_TICK
    assert drawings.DUE_TICK < float(drawings.due_end(Decimal("1.2"))) < drawings.DUE_END
    assert float(drawings.due_end(9)) == drawings.DUE_END


def test_a_gain_points_up_a_loss_down_and_neither_past_forty_degrees() -> None:
    assert float(drawings.slope(Decimal("0.2"))) == -18.0
    assert float(drawings.slope(Decimal("-0.2"))) == 18.0
    assert drawings.slope(0) == "0"
    assert float(drawings.slope(-3)) == 40.0


def test_a_rulers_marks_stand_under_its_keys_in_true_linear_order() -> None:
    ticks, axis, width = drawings.ruler_edge(11)
    at = [int(tick.split()[0]) for tick in ticks.split("M")[1:]]
    assert at == list(range(30, 331, 30))
    assert (axis, width) == ("M30 13H330", 360)
