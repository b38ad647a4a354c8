"""How one measure of an animal went, over REST: as the document promises, to whoever may read."""

from datetime import UTC, datetime, timedelta

from django.db import connection
from django.test.utils import CaptureQueriesContext

from tests import cast, readings
from tests.api.asking import Asker

TREND = f"horses/{cast.ref('Teasel')}/trend/"


def scored(*scores: str) -> None:
    now = datetime.now(UTC)
    for place, score in enumerate(reversed(scores)):
        at = now - timedelta(days=14 * place, minutes=1)
        raw = readings.raw("Teasel", at, score, score, score)
        assert Asker("maud").post("assessments/", raw).status_code == 201


def test_a_trend_is_answered_as_promised(database: str) -> None:
    scored("2.5", "2.5", "3", "3")
    said = Asker("hollis").get(TREND).json()
    assert (said["measure"], said["scale"], said["enough"]) == ("score", "five", True)
    assert [each["value"] for each in said["points"]] == ["2.50", "2.50", "3.00", "3.00"]
    assert said["rate_per_month"]["unit"] == "points"
    assert float(said["rate_per_month"]["value"]) > 0
    assert said["rate_per_week"] is None
    assert said["reason"] is None
    assert said["probability_above"]["limit"] == "3.0"
    assert said["probability_below"].keys() == {"limit", "probability"}
    assert 0 < float(said["probability_below"]["probability"]) < 0.5
    assert said["band"][0].keys() == {"at", "low", "aim", "high"}
    assert said["forecast"]["event"] in ("enters", "leaves")
    assert {each["baseline"] for each in said["smoothed"]} == {0}


def test_too_few_say_why_in_words(database: str) -> None:
    scored("3")
    said = Asker("maud").get(f"{TREND}?measure=score").json()
    assert said["enough"] is False
    assert said["reason"] == "Not enough readings"
    assert said["smoothed"] == []


def test_an_unknown_measure_and_an_odd_period_are_refused_by_name(database: str) -> None:
    odd = Asker("maud").get(f"{TREND}?measure=fatness")
    assert odd.status_code == 400
    assert odd.json()["errors"][0]["field"] == "measure"
    turned = Asker("maud").get(f"{TREND}?from=2026-03-01&to=2026-01-01")
    assert turned.status_code == 422
    assert turned.json()["errors"][0]["field"] == "from"


def test_a_longer_series_costs_no_more_queries(database: str) -> None:
    def cost() -> int:
        with CaptureQueriesContext(connection) as asked:
            assert Asker("maud").get(TREND).status_code == 200
        return len(asked)

    scored("3", "3", "3")
    first = cost()
    scored("3", "3.5", "3", "3.5", "3", "3.5")
    assert cost() == first
