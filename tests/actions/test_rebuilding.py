"""A standing that went wrong is made again from the readings, by the operator's command."""

import io
from datetime import UTC, datetime, timedelta
from typing import Any

import psycopg
import pytest
from django.core.management import CommandError, call_command

from scoring.actions import assessments, standing
from scoring.models import Standing
from tests import cast, readings
from tests.actions.record import entries
from tests.actions.test_yards_commands import run

BROKEN = "UPDATE scoring_standing SET level = 9, place = 'above', score_filter = NULL"


@pytest.fixture
def read(inside: Any) -> datetime:
    """Teasel has three readings and an open alert; return when the last was taken."""
    now = datetime.now(UTC)
    with inside("maud") as viewer:
        for days in (30, 15, 0):
            at = now - timedelta(days=days)
            raw = readings.raw("Teasel", at, "1", "1", "1", weighing=WEIGHED)
            assessments.record_assessment(viewer, raw, now=now)
    return now


WEIGHED = {"method": "weigh_tape", "weight_kg": "440"}


def told(*words: str) -> str:
    """What the command says, run in this process: to start another costs more than it does."""
    said = io.StringIO()
    call_command("rebuild_standing", *words, stdout=said)
    return said.getvalue()


def kept(horse: str) -> dict[str, Any]:
    names = [name for name in (*standing.KEPT, "open_alerts") if name != "updated_at"]
    return dict(Standing.objects.values(*names).get(horse__ref=cast.ref(horse)))


def broken(environment: dict[str, str], organisation: str, change: str) -> None:
    with psycopg.connect(environment["DATABASE_OWNER_URL"]) as owner:
        owner.execute(
            "SELECT set_config('halfpoint.organisation', %s, true)", [str(cast.ref(organisation))]
        )
        owner.execute(change)


def test_a_broken_row_is_made_again_and_entered(
    environment: dict[str, str], inside: Any, read: datetime
) -> None:
    with inside("isolde"):
        before = kept("Teasel")
    assert (before["level"], before["open_alerts"]) == (pytest.approx(1), 1)
    broken(environment, cast.QUILLET, f"{BROKEN}, open_alerts = 7 WHERE score_filter IS NOT NULL")
    with inside("isolde"):
        assert kept("Teasel") != before
    done = run(environment, "rebuild_standing")
    assert done.returncode == 0, done.stderr
    assert f"{cast.ref(cast.QUILLET)}: 5 standings, 1 differed." in done.stdout
    assert f"{cast.ref(cast.LARCHGILL)}: 1 standings, 0 differed." in done.stdout
    with inside("isolde"):
        assert kept("Teasel") == before
        verb, actor, _, payload = entries(cast.ref("Teasel"))[-1]
    assert (verb, actor) == ("standing.rebuilt", "system")
    assert payload == {"differed": ["score_filter", "level", "place", "open_alerts"]}


def test_a_row_that_is_gone_is_made_anew(
    environment: dict[str, str], inside: Any, read: datetime
) -> None:
    with inside("isolde"):
        before = kept("Teasel")
    broken(environment, cast.QUILLET, "DELETE FROM scoring_standing")
    assert "5 standings, 5 differed." in told()
    with inside("isolde"):
        assert kept("Teasel") == before
    assert "5 standings, 0 differed." in told()


def test_one_organisation_is_rebuilt_and_the_other_left_alone(
    environment: dict[str, str], inside: Any
) -> None:
    for name in cast.ORGANISATIONS:
        broken(environment, name, "UPDATE scoring_standing SET score_days = 400")
    larchgill = str(cast.ref(cast.LARCHGILL))
    assert told("--organisation", larchgill) == f"{larchgill}: 1 standings, 1 differed.\n"
    with inside("isolde"):
        assert kept("Teasel")["score_days"] == 400
    with inside("perran"):
        assert kept("Gorse")["score_days"] != 400


def test_an_organisation_that_is_not_there_is_refused(database: str) -> None:
    with pytest.raises(CommandError, match="There is no organisation"):
        told("--organisation", str(cast.ref("nobody")))
