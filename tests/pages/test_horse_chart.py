"""A horse's drawing on its page: the trend's own numbers, its windows, its table."""

import re
from collections.abc import Callable
from datetime import UTC, date, datetime, timedelta
from typing import Any
from urllib.parse import urlencode

import pytest
from django.test import Client

from scoring.actions import assessments, weighings
from tests import cast, readings
from tests.api.asking import Asker
from tests.conftest import as_somebody
from tests.outside import EXACT, outside
from tests.pages import drawn
from tests.pages.test_horse_pages import text
from yards.pages import words as told_words

SignIn = Callable[[str], Client]
TEASEL = f"/horses/{cast.ref('Teasel')}/"
HALF = 0.5


def at(days: float) -> datetime:
    return datetime.now(UTC).replace(microsecond=0) - timedelta(days=days)


def scored(inside: Any, days: float, score: str, who: str = "maud", **facts: Any) -> Any:
    with inside(who) as viewer:
        raw = readings.raw("Teasel", at(days), score, score, score, **facts)
        return assessments.record_assessment(viewer, raw, now=at(days))


def weighed(inside: Any, days: float, kg: str, **facts: Any) -> None:
    with inside("maud") as viewer:
        raw = {"horse": str(cast.ref("Teasel")), "taken_at": at(days).isoformat(), "weight_kg": kg}
        weighings.record_weighing(viewer, {**raw, **facts}, now=at(days))


def a_year() -> None:
    for place in range(13):
        who = ("maud", "tobias", "keziah")[place % 3]
        scored(as_somebody, 320 - 25 * place, ("2.5", "3", "3", "3.5")[place // 4], who)
    scored(as_somebody, 33, "5", "tobias", manner="visual")
    for place in range(6):
        method = ("weighbridge", "estimate")[place % 2]
        weighed(as_somebody, 200 - 30 * place, f"{440 + 3 * place}.5", method=method)


def told(drawing: drawn.Svg, measure: str) -> dict[str, Any]:
    """What the REST surface says of the drawing's own time."""
    first, last = (
        datetime.fromtimestamp(drawing.number(name), UTC).isoformat().replace("+00:00", "Z")
        for name in ("first", "last")
    )
    asked = urlencode({"measure": measure, "from": first, "to": last})
    answer = Asker("isolde").get(f"horses/{cast.ref('Teasel')}/trend/?{asked}")
    assert answer.status_code == 200
    found: dict[str, Any] = answer.json()
    return found


def seconds(said: str) -> float:
    return datetime.fromisoformat(said).timestamp()


@pytest.mark.parametrize("width", ["wide", "nar"])
@pytest.mark.parametrize("query", ["", "?window=3m", "?window=2y", "?window=all"])
@pytest.mark.built(by=a_year)
def test_every_point_and_line_lies_where_the_rest_surface_says(
    signed_in: SignIn, query: str, width: str
) -> None:
    drawing = drawn.large(text(signed_in("isolde"), TEASEL + query), width)
    shapes = [drawn.middle(d) for css in ("p", "o") for d in drawing.of(css)]
    points = 0
    for measure, css in (("score", "ln"), ("weight", "ln w")):
        said = told(drawing, measure)
        # Every reading is one shape, and no shape is none.
        for point in said["points"]:
            x, y = drawing.at(seconds(point["at"])), drawing.up(measure, float(point["value"]))
            # A triangle's middle is not its box's: within two pixels down, half a one across.
            near = [s for s in shapes if abs(s[0] - x) <= HALF and abs(s[1] - y) <= 2]
            assert near, point
        points += len(said["points"])
        [line] = drawing.of(css)
        corners = drawn.spots(line)
        for each in said["smoothed"]:
            x, y = drawing.at(seconds(each["at"])), drawing.up(measure, float(each["level"]))
            assert any(abs(a - x) <= HALF and abs(b - y) <= HALF for a, b in corners), each
    assert len(shapes) == points


@pytest.mark.built(by=a_year)
def test_the_interval_and_the_band_are_those_of_the_rest_surface(signed_in: SignIn) -> None:
    drawing = drawn.large(text(signed_in("isolde"), TEASEL))
    said = told(drawing, "score")
    ribbon = drawn.spots(drawing.of("rib")[0])
    for each in said["smoothed"]:
        x = drawing.at(seconds(each["at"]))
        for end in ("low", "high"):
            y = drawing.up("score", float(each[end]))
            assert any(abs(a - x) <= HALF and abs(b - y) <= HALF for a, b in ribbon), each
    [edges] = drawing.of("bedge")
    levels = {round(y, 1) for _, y in drawn.spots(edges)}
    wanted = {
        round(drawing.up("score", float(b[e])), 1) for b in said["band"] for e in ("low", "high")
    }
    assert sorted(levels) == pytest.approx(sorted(wanted), abs=0.11)
    [aim] = drawing.of("aim")
    assert len(drawn.spots(aim)) == len(said["band"])
    for (_, y), each in zip(drawn.spots(aim), said["band"], strict=True):
        assert abs(y - drawing.up("score", float(each["aim"]))) <= HALF


@pytest.mark.built(by=a_year)
def test_shapes_tell_hands_and_methods_apart_in_words(signed_in: SignIn) -> None:
    page = text(signed_in("isolde"), TEASEL)
    for words in (
        *("Maud Pell</li>", "Tobias Wren</li>", "Vet: Dr Keziah Orme</li>"),
        *("By eye, not used in the trend", "Weighbridge</li>", "if nothing changes"),
        "Estimate: not for drug doses without the vet.",
    ):
        assert words in page, words
    assert "Weigh tape, repeats" not in page, "nothing was taped"


def test_a_tape_has_a_whisker_of_ten_kilograms(signed_in: SignIn, inside: Any) -> None:
    weighed(inside, 10, "440", method="weigh_tape")
    page = text(signed_in("isolde"), TEASEL)
    assert "Weigh tape, repeats within 10 kg" in page
    drawing = drawn.large(page)
    [whisker] = drawing.of("wh")
    ends = sorted(y for _, y in drawn.spots(whisker))
    assert ends == pytest.approx([drawing.up("weight", each) for each in (450, 430)], abs=HALF)


def test_no_line_is_drawn_over_more_than_ninety_days(signed_in: SignIn, inside: Any) -> None:
    for days in (330, 310, 290, 190, 170, 150, 20):
        scored(inside, days, "3")
    page = text(signed_in("isolde"), TEASEL)
    drawing = drawn.large(page)
    gaps = [
        tuple(drawing.at(at(each).timestamp()) for each in pair) for pair in ((290, 190), (150, 20))
    ]
    for css in ("ln", "rib"):
        for d in drawing.of(css):
            for x, _ in drawn.spots(d):
                assert not any(left + 1 < x < right - 1 for left, right in gaps)
    pieces = [drawn.spots(piece) for d in drawing.of("ln") for piece in d.split("M") if piece]
    for piece in pieces:
        assert not any(piece[0][0] <= left and right <= piece[-1][0] for left, right in gaps)
    assert "100 days without a score" in page
    assert "130 days without a score" in page


def test_what_was_put_right_is_struck_in_the_table_and_not_on_the_line(
    signed_in: SignIn, inside: Any
) -> None:
    wrong = scored(inside, 20, "5")
    with inside("isolde") as viewer:
        raw = {**readings.raw("Teasel", at(20), "3", "3", "3"), "reason": "Misread the sheet"}
        assessments.correct_assessment(viewer, wrong.id, raw, now=at(19))
    client = signed_in("isolde")
    drawing = drawn.large(text(client, TEASEL))
    [point] = [drawn.middle(d) for d in drawing.of("p")]
    assert point[1] == pytest.approx(drawing.up("score", 3), abs=HALF)
    table = text(client, f"{TEASEL}values/")
    struck = table.split('class="struck"')[1].split("</tr>")[0]
    assert "5.00" in struck
    assert "no longer counts" in struck
    assert "Corrected by Isolde Kerr: Misread the sheet" in table


@pytest.mark.built(by=a_year)
def test_windows_are_links_that_keep_what_else_was_asked(signed_in: SignIn) -> None:
    client = signed_in("isolde")
    page = text(client, f"{TEASEL}?window=3m&one=abc")
    assert 'href="?window=2y&amp;one=abc#chart"' in page
    assert 'aria-current="true" data-window>3 months' in page
    assert '<input type="hidden" name="one" value="abc">' in page
    assert f'href="{TEASEL}values/?window=3m"' in page
    past = text(client, f"{TEASEL}?window=1y&to={at(100):%Y-%m-%d}")
    assert ">Later<" in past
    assert "Today" not in past
    assert "if nothing changes" not in past
    assert client.get(f"{TEASEL}?window=odd&from=never&to=99").status_code == 200


@pytest.mark.built(by=a_year)
def test_the_days_in_the_boxes_are_said_in_words(signed_in: SignIn) -> None:
    page = text(signed_in("isolde"), f"{TEASEL}?from=2026-07-08&to=2026-08-07")
    boxes = dict(re.findall(r'type="date" id="chart-\w+" name="(\w+)" value="([^"]*)"', page))
    first, last = (told_words.day(date.fromisoformat(boxes[name])) for name in ("from", "to"))
    assert f"Shown now: {first} to {last}. Or choose other days:" in page


@pytest.mark.built(by=a_year)
def test_what_became_of_it_since_a_day_is_said(signed_in: SignIn) -> None:
    page = text(signed_in("isolde"), f"{TEASEL}?from={at(330):%Y-%m-%d}")
    assert "points up, 80% range " in page
    short = text(signed_in("isolde"), f"{TEASEL}?from={at(40):%Y-%m-%d}")
    assert re.search(r"80% range [\d.]+ points down to [\d.]+ points up; \d in 10 that ", short)


def test_a_fall_by_one_tape_is_told_though_nobody_knows_how_far_the_tape_is_out(
    signed_in: SignIn, inside: Any
) -> None:
    tape = Asker("isolde").post("instruments/", {"kind": "weigh_tape", "label": "Tape"}).json()
    for place in range(12):
        used = {"method": "weigh_tape", "instrument": tape["id"]}
        weighed(inside, 240 - 20 * place, f"{480 - 3 * place}", **used)
    page = text(signed_in("isolde"), TEASEL)
    told = page.split("<dt>Weight</dt><dd>")[1].split("</dd>")[0]
    assert " kg down, 80% range " in told
    told = page.split('<dt>Weight</dt><dd class="sub">')[1].split("</dd>")[0]
    # The levels themselves are unsure by far more than that.
    ends = [float(each) for each in re.findall(r"\(([\d.]+) kg to ([\d.]+) kg\)", told)[0]]
    assert ends[1] - ends[0] > 33


def test_another_baseline_is_not_compared(signed_in: SignIn, inside: Any) -> None:
    for days in (60, 50, 40):
        weighed(inside, days, "440", method="weighbridge")
    tapes = Asker("isolde").post("instruments/", {"kind": "weigh_tape", "label": "Tape"})
    used = {"method": "weigh_tape", "instrument": tapes.json()["id"]}
    for days in (30, 20, 10):
        weighed(inside, days, "470", **used)
    page = text(signed_in("isolde"), TEASEL)
    assert "Not compared: the line begins anew" in page
    lines = drawn.large(page).of("ln w")
    assert lines[0].count("M") == 2


@outside(
    "1000 lb are 453.6 kg",
    source="NIST Special Publication 811 (2008), appendix B.8",
    status=EXACT,
)
def test_a_reader_of_pounds_has_an_axis_of_pounds(signed_in: SignIn, inside: Any) -> None:
    weighed(inside, 10, "453.6", method="weighbridge")
    client = signed_in("isolde")
    mine = {"language": "en-gb", "weight_unit": "lb", "length_unit": "in", "height_unit": "hands"}
    assert client.post("/settings/", mine).status_code == 303
    page = text(client, TEASEL)
    drawing = drawn.large(page)
    assert "Weight, lb" in page
    [point] = [drawn.middle(d) for d in drawing.of("p")]
    assert point[1] == pytest.approx(drawing.up("weight", 1000), abs=HALF)
    assert drawing.number("weight-high") - drawing.number("weight-low") >= 88


@pytest.mark.built(by=a_year)
def test_the_drawing_says_what_is_seen_to_who_does_not_see_it(signed_in: SignIn) -> None:
    page = text(signed_in("isolde"), TEASEL)
    assert page.count('role="img" focusable="false" aria-labelledby="ct-wide"') == 1
    title = page.split('<title id="ct-wide">')[1].split("<")[0]
    assert title.startswith("Overall score and weight of Teasel, ")
    said = page.split('<desc id="cd-wide">')[1].split("<")[0]
    for words in ("Latest score", "80% range", "Target band", "points a month", "Latest weight"):
        assert words in said
    assert "Times in Europe/London" in page


@pytest.mark.built(by=a_year)
def test_the_table_holds_every_value_with_the_line_then(signed_in: SignIn) -> None:
    client = signed_in("isolde")
    drawing = drawn.large(text(client, TEASEL))
    table = text(client, f"{TEASEL}values/?window=1y")
    said = told(drawing, "score")
    for point in said["points"]:
        assert f"/assessments/{point['id']}/" in table
    smoothed = {each["at"]: each for each in said["smoothed"]}
    for point in said["points"]:
        if point["used"]:
            level = float(smoothed[point["at"]]["level"])
            row = table.split(f"/assessments/{point['id']}/")[1].split("</tr>")[0]
            assert f"{level:.2f} (" in row
    table = table.split("Target bands of this time")[0]
    assert table.count("<tr role") - 1 == len(said["points"]) + 6


def test_a_horse_without_readings_says_so(signed_in: SignIn) -> None:
    page = text(signed_in("isolde"), TEASEL)
    assert "Nothing to draw yet" in page
    assert 'class="ch ' not in page


def test_a_window_that_begins_before_the_readings_says_from_when_it_answers(
    signed_in: SignIn, inside: Any
) -> None:
    for days in (100, 80, 60, 40, 20, 1):
        scored(inside, days, "3")
    page = text(signed_in("keziah"), f"{TEASEL}?from={at(250):%Y-%m-%d}")
    told = re.search(r"Not known before (\d+ \w+ \d+)\. Since then: (Yes|No|Not sure)", page)
    assert told is not None
    assert told[1] == readings.day_here(at(100))
    near = text(signed_in("keziah"), f"{TEASEL}?from={at(105):%Y-%m-%d}")
    assert "Not known before" not in near
