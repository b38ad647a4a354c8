"""What was only seen never enters the trend, however often it was seen.

Common practice, no published source: estimates by eye spread widely, a coat hides ribs, and who
looks is led by size and belly; only what hands felt is followed over time.
"""

from collections.abc import Callable
from contextlib import AbstractContextManager
from datetime import UTC, datetime, timedelta

from scoring.actions import assessments
from scoring.models import Standing
from tests import cast, readings
from tests.outside import COMMON_PRACTICE, outside
from yards.rules.roles import Viewer

Inside = Callable[..., AbstractContextManager[Viewer]]
FIRST = datetime(2025, 11, 2, 8, 40, tzinfo=UTC)
WEEK = timedelta(days=7)


def filtered(name: str) -> object:
    return Standing.objects.get(horse__ref=cast.ref(name)).score_filter


@outside(
    "a guess by eye is not followed over time: guesses spread widely, and size and belly lead them",
    source="people who score horses",
    status=COMMON_PRACTICE,
)
def test_an_estimate_by_eye_beside_the_score_changes_nothing_of_the_trend(inside: Inside) -> None:
    with inside("maud") as viewer:
        for week in range(4):
            at = FIRST + week * WEEK
            felt = readings.raw("Teasel", at, "3", "3", "3")
            guessed = readings.raw("Sorrel Lad", at, "3", "3", "3", by_eye="5")
            for raw in (felt, guessed):
                assessments.record_assessment(viewer, raw, now=at)
        assert filtered("Teasel") is not None
        assert filtered("Sorrel Lad") == filtered("Teasel")


@outside(
    "what was only seen is not followed over time: a coat hides ribs",
    source="people who score horses",
    status=COMMON_PRACTICE,
)
def test_what_was_seen_and_not_felt_is_never_followed(inside: Inside) -> None:
    with inside("maud") as viewer:
        felt = readings.raw("Teasel", FIRST, "3", "3", "3")
        assessments.record_assessment(viewer, felt, now=FIRST)
        before = filtered("Teasel")
        for week in range(1, 5):
            at = FIRST + week * WEEK
            seen = readings.raw("Teasel", at, "5", "5", "5", manner="visual")
            assessments.record_assessment(viewer, seen, now=at)
        assert filtered("Teasel") == before
