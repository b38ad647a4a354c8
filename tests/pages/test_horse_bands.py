"""What a horse's page says of its bands over time, and whether it has really changed."""

import itertools
import re
from collections.abc import Callable
from datetime import timedelta
from typing import Any

import pytest
from django.test import Client

from scoring.actions import vet_orders
from tests import cast, readings
from tests.pages import drawn
from tests.pages.test_horse_chart import TEASEL, at, scored
from tests.pages.test_horse_pages import text
from yards.actions import events

SignIn = Callable[[str], Client]


def order(inside: Any, days: float) -> None:
    with inside("keziah") as vet:
        until = (at(0) + timedelta(days=60)).isoformat()
        raw = {"band": {"low": "2.5", "high": "3.5"}, "reason": "Slowly", "until": until}
        vet_orders.give_vet_order(vet, cast.ref("Teasel"), raw, now=at(days))


def day(days: float) -> str:
    return readings.day_here(at(days))


def test_drawing_words_and_table_show_the_band_of_each_day(signed_in: SignIn, inside: Any) -> None:
    for days in (300, 250, 200, 110, 60, 10):
        scored(inside, days, "3")
    order(inside, 100)
    client = signed_in("isolde")
    page = text(client, TEASEL)
    drawing = drawn.large(page)
    [edges] = drawing.of("bedge")
    began = drawing.at(at(100).timestamp())
    for x, y in drawn.spots(edges):
        high = drawing.up("score", 3.5)
        if abs(y - high) < 0.6:
            assert x > began - 3, "the order's high edge is not drawn before it"
    told = f"Target band 2 to 3 until {day(101)}, 2½ to 3½ since {day(100)}."
    assert told in page.split('<desc id="cd-wide">')[1].split("</desc>")[0]
    assert told in page.split('<p class="sayit">')[1].split("</p>")[0]
    values = text(client, f"{TEASEL}values/?window=1y")
    bands = values.partition("Target bands of this time")[2]
    assert bands.index("The vet set this band.") < bands.index("An adult in ordinary use.")
    for days, band in ((110, "2 to 3"), (60, "2½ to 3½")):
        row = next(each for each in values.split("<tr")[2:] if day(days) in each.split("</th>")[0])
        assert f">{band}<" in row.split('data-column="Target band then"')[1], days


def test_before_the_record_began_no_band_is_drawn_and_that_is_said(
    signed_in: SignIn, inside: Any
) -> None:
    scored(inside, 10, "3")
    page = text(signed_in("isolde"), f"{TEASEL}?from=2024-11-01")
    assert "No target band before 6 Jan 2025: what it hung on is not on record." in page
    drawing = drawn.large(page)
    [edges] = drawing.of("bedge")
    assert min(x for x, _ in drawn.spots(edges)) > drawing.number("left") + 5


def test_whether_it_really_changed_is_answered_first(signed_in: SignIn, inside: Any) -> None:
    for place in range(13):
        scored(inside, 320 - 25 * place, ("4", "3.5", "3", "2.5")[place // 4])
    page = text(signed_in("isolde"), f"{TEASEL}?from={at(330):%Y-%m-%d}")
    assert f"Has it really changed since {day(330)}?" in page
    told = page.split('<dl class="facts went">')[1].split("</dl>")[0]
    score = re.sub(r"<[^>]*>", "", told.split("</dd>")[0])
    assert re.match(r"\s*Score\s*Yes, it has lost\. [\d.]+ points down, 80% range ", score), score
    assert re.search(r"; \d\d in 100 that it is down at all\.", score)
    assert "<dt>Weight</dt><dd><strong>Not known.</strong> Too few readings" in told
    assert "Score change at present" in page
    # The answer stands before the drawing, and before what stands in between.
    order = [page.index(f'id="{each}"') for each in ("really-h", "stands", "chart-h")]
    assert order == sorted(order)


def test_where_nothing_moved_the_answer_is_no(signed_in: SignIn, inside: Any) -> None:
    for place in range(26):
        scored(inside, 355 - 14 * place, "3")
    told = text(signed_in("isolde"), TEASEL).split('<dl class="facts went">')[1]
    assert "<strong>No, not by half a point.</strong> 80% range 0." in told
    # In a short window what is to come ends with the axis.
    short = drawn.large(text(signed_in("isolde"), f"{TEASEL}?window=3m"))
    for css in ("ln f", "rib f"):
        far = max(x for d in short.of(css) for x, _ in drawn.spots(d))
        assert far == pytest.approx(short.number("right"), abs=0.5), css
    assert re.search(r" points up; \d in 10 that it is (up|down) at all\.</dd>", told)


def test_no_box_of_a_mark_covers_another(signed_in: SignIn, inside: Any) -> None:
    scored(inside, 10, "3")
    with inside("isolde") as viewer:
        for place in range(40):
            raw = {"kind": "wormed", "at": at(place * 2.5).isoformat()}
            events.record_event(viewer, cast.ref("Teasel"), raw, now=at(0))
    for width in ("wide", "nar"):
        drawing = drawn.large(text(signed_in("isolde"), TEASEL), width)
        boxes = sorted(
            (min(across), max(across))
            for d in drawing.of("bx ev")
            if (across := [x for x, _ in drawn.spots(d.split("Z")[0])])
        )
        assert len(boxes) > 1
        assert all(one[1] < other[0] for one, other in itertools.pairwise(boxes)), boxes
