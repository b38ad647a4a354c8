"""However many readings there are: as many queries, and a drawing of a bounded size."""

import uuid
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime, timedelta
from typing import Any

from django.db import connection
from django.template.loader import render_to_string
from django.test import RequestFactory
from django.test.utils import CaptureQueriesContext

from scoring.actions import assessments
from scoring.models import Assessment
from scoring.pages import horse_chart
from tests import cast, readings
from tests.pages import drawn
from yards.queries import horses

NOW = datetime(2026, 11, 2, 12, tzinfo=UTC)
LONDON = "Europe/London"


def fill(viewer: Any, many: int, since: timedelta) -> None:
    row = Assessment.objects.order_by("id").first()
    if row is None:
        raw = readings.raw("Teasel", NOW - since, "3", "3", "3", crest="2")
        assessments.record_assessment(viewer, raw, now=NOW)
        row = Assessment.objects.get()
    again = [_copy(row, number, many, since) for number in range(many)]
    Assessment.objects.bulk_create(again, batch_size=500)


def _copy(row: Assessment, number: int, many: int, since: timedelta) -> Assessment:
    taken = NOW - since + since * number / many
    halves = 0 if number == many // 3 else 3 + 5 * number // many
    kept = {
        field.attname: getattr(row, field.attname)
        for field in Assessment._meta.concrete_fields
        if field.attname not in ("id", "ref", "overall_sixths", "weighing_id")
    }
    at = {"taken_at": taken, "corrected_at": taken, "received_at": taken}
    scores = {"neck": halves, "back": halves, "hind": halves}
    return Assessment(**{**kept, **at, **scores}, ref=uuid.uuid4())


@contextmanager
def shown(inside: Any, query: str = "") -> Iterator[tuple[str, int]]:
    """The drawing's part of the page, and how many questions it took."""
    with inside("isolde") as viewer:
        card = horses.get_horse(viewer, cast.ref("Teasel"))
        request = RequestFactory().get(f"/{query}")
        with CaptureQueriesContext(connection) as asked:
            context = horse_chart.section(request, viewer, card, now=NOW, zone=LONDON)
        yield render_to_string("scoring/parts/chart.html", {"chart": context}), len(asked)


def test_two_hundred_readings_cost_as_many_queries_as_ten(inside: Any) -> None:
    counted = []
    for many in (10, 190):
        with inside("maud") as viewer:
            fill(viewer, many, timedelta(days=300))
        with shown(inside) as (page, queries):
            counted.append(queries)
    assert counted[0] == counted[1]
    assert counted[0] <= 24
    assert "Maud Pell" in page


def test_thousands_of_readings_are_drawn_in_bounds_and_no_extreme_is_lost(inside: Any) -> None:
    with inside("maud") as viewer:
        fill(viewer, 3000, timedelta(days=1400))
    with shown(inside, "?window=all") as (page, _):
        assert len(page) < 300_000
        drawing = drawn.large(page)
    points = [drawn.middle(d) for d in drawing.of("p")]
    assert len(points) < 600
    lowest = max(points, key=lambda each: each[1])
    assert abs(lowest[1] - drawing.up("score", 0)) <= 0.5
    thin = (NOW - timedelta(days=1400) + timedelta(days=1400) / 3).timestamp()
    assert abs(lowest[0] - drawing.at(thin)) <= 1
    highest = min(points, key=lambda each: each[1])
    assert abs(highest[1] - drawing.up("score", 3.5)) <= 0.5
