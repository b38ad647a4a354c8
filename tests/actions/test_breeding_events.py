"""Breeding events reach the band: of the mare, of the day, in the query that is asked anyway."""

from collections.abc import Callable
from contextlib import AbstractContextManager
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from typing import Any

from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from scoring.actions import assessments, standing, vet_orders
from scoring.models import Standing
from scoring.queries import standing as standing_queries
from scoring.queries import targets
from tests import cast, readings
from yards.actions import events, horses, merges
from yards.models import Horse, User
from yards.rules.roles import Viewer

Inside = Callable[..., AbstractContextManager[Viewer]]
NOW = datetime(2026, 4, 12, 10, 0, tzinfo=UTC)
DAY = timedelta(days=1)
TEASEL, TANSY = cast.ref("Teasel"), cast.ref("Tansy")


def happened(viewer: Viewer, kind: str, at: datetime, horse: str = "Teasel") -> None:
    raw = {"kind": kind, "at": at.isoformat()}
    events.record_event(viewer, cast.ref(horse), raw, now=NOW)


def whys(viewer: Viewer, horse: str = "Teasel") -> list[str]:
    found = standing_queries.get_standing(viewer, cast.ref(horse), now=NOW)
    return [each.key for each in found.band_why if not each.key.startswith("band_aim")]


def scored(viewer: Viewer, at: datetime, *scores: str) -> tuple[str, Decimal, Decimal]:
    raw = readings.raw("Teasel", at, *scores)
    answer = assessments.record_assessment(viewer, raw, now=NOW)
    assert answer.band is not None
    return answer.place, answer.band.low, answer.band.high


LEISURE = (Decimal("2.00"), Decimal("3.00"))
BROODMARE = (Decimal("3.00"), Decimal("3.50"))
IN_MILK = (Decimal("2.50"), Decimal("3.50"))


def test_a_mare_goes_through_her_bands_by_her_events(inside: Inside) -> None:
    covered, foaled = NOW - 400 * DAY, NOW - 60 * DAY
    with inside("maud") as viewer:
        assert scored(viewer, covered - DAY, "2.5", "2.5", "2.5")[1:] == LEISURE
        for kind, at in (
            ("covered", covered),
            ("found_in_foal", covered + 30 * DAY),
            ("foaled", foaled),
        ):
            happened(viewer, kind, at)
        assert whys(viewer) == ["band_early_in_milk"]
        # A reading told late is placed in the band of its own day.
        assert scored(viewer, foaled - 20 * DAY, "2.5", "2.5", "2.5") == ("below", *BROODMARE)
        assert scored(viewer, foaled + 20 * DAY, "2.5", "2.5", "2.5") == ("within", *IN_MILK)
        happened(viewer, "weaned", NOW - DAY)
        assert scored(viewer, NOW, "2.5", "2.5", "2.5") == ("within", *LEISURE)


def test_a_covering_told_late_places_the_mare_anew_and_a_rebuild_agrees(inside: Inside) -> None:
    with inside("maud") as viewer:
        happened(viewer, "covered", NOW - 30 * DAY)
        happened(viewer, "found_empty", NOW - 10 * DAY)
        assert scored(viewer, NOW - DAY, "2.5", "2.5", "2.5")[0] == "within"
        happened(viewer, "covered", NOW - 2 * DAY)
        held = Standing.objects.select_related("horse__yard").get(horse__ref=TEASEL)
        assert held.place == "below"
        assert whys(viewer) == ["band_perhaps_in_foal"]
        standing.rebuild(viewer, held, NOW)
        assert Standing.objects.get(horse__ref=TEASEL).place == "below"


def test_a_day_that_changes_no_word_still_places_the_mare_anew(inside: Inside) -> None:
    """She was in foal by her record without a day; now the day says that it is too long ago."""
    with inside("maud") as viewer:
        happened(viewer, "found_in_foal", NOW - 5 * DAY)
        assert whys(viewer) == ["band_in_foal_undated"]
        before = Standing.objects.get(horse__ref=TEASEL).updated_at
        later = {"kind": "covered", "at": (NOW - 100 * DAY).isoformat()}
        events.record_event(viewer, TEASEL, later, now=NOW + DAY)
        assert Standing.objects.get(horse__ref=TEASEL).updated_at > before
        assert whys(viewer) == ["band_in_foal"]


def test_orders_and_events_of_any_number_come_in_one_query(inside: Inside) -> None:
    with inside("keziah") as viewer:
        order: dict[str, Any] = {
            "score_days": 9,
            "reason": "In foal.",
            "until": (NOW + 30 * DAY).isoformat(),
        }
        vet_orders.give_vet_order(viewer, TEASEL, order, now=NOW - DAY)
        counts = []
        for day in (300, 200, 100):
            happened(viewer, "covered", NOW - day * DAY)
            keys = list(Horse.objects.order_by("id").values_list("id", flat=True))
            with CaptureQueriesContext(connection) as seen:
                found = targets.orders_of(keys, NOW)
            counts.append(len(seen))
        assert counts == [1, 1, 1]
        held = found[Horse.objects.get(ref=TEASEL).id]
        assert held.score_days == 9
        assert [kind for kind, _ in held.events] == ["covered"] * 3
        assert [at for _, at in held.events] == sorted(at for _, at in held.events)


def test_an_order_ends_at_its_very_instant_and_events_are_there_before_and_after(
    inside: Inside,
) -> None:
    until = NOW + 5 * DAY
    with inside("keziah") as viewer:
        happened(viewer, "covered", NOW - 20 * DAY)
        order = {"score_days": 9, "reason": "Thin.", "until": until.isoformat()}
        vet_orders.give_vet_order(viewer, TEASEL, order, now=NOW)
        key = Horse.objects.get(ref=TEASEL).id
        tick = timedelta(microseconds=1)
        days = [each.score_days for each in targets.orders_at(key, NOW, until - tick, until)]
        assert days == [9, 9, None]
        seen = targets.orders_at(key, NOW - 40 * DAY, until)
        assert [len(each.events) for each in seen] == [1, 1]


def test_events_of_an_animal_that_turned_out_to_be_hers_count(inside: Inside) -> None:
    with inside("isolde") as viewer:
        raw = {
            "name": "Bay mare",
            "yard": str(cast.ref("Top Barn")),
            "species": "horse",
            "is_unknown": True,
            "id": str(cast.ref("a bay mare")),
        }
        horses.register_horse(viewer, raw, now=NOW - 90 * DAY)
        mare = cast.ref("a bay mare")
        foaled = {"kind": "foaled", "at": (NOW - 80 * DAY).isoformat()}
        events.record_event(viewer, mare, foaled, now=NOW - 80 * DAY)
        happened(viewer, "covered", NOW - 40 * DAY)
        assert whys(viewer) == ["band_perhaps_in_foal"]
        merges.merge_horse(viewer, mare, {"into": str(TEASEL)}, now=NOW)
        assert whys(viewer) == ["band_early_in_milk"]


def test_another_organisation_sees_neither(inside: Inside) -> None:
    with inside("maud") as viewer:
        happened(viewer, "covered", NOW - 20 * DAY)
        key = Horse.objects.get(ref=TEASEL).id
        assert targets.orders_of([key], NOW)
    with inside("perran"):
        assert targets.orders_of([key], NOW) == {}


def test_the_horse_s_page_says_why_it_has_its_band(database: str, inside: Inside) -> None:
    with inside("isolde") as viewer:
        events.record_event(
            viewer,
            TANSY,
            {"kind": "covered", "at": (datetime.now(UTC) - 300 * DAY).isoformat()},
            now=datetime.now(UTC),
        )
    client = Client()
    client.force_login(User.objects.get(id=cast.ref("isolde")))
    page = client.get(f"/horses/{TANSY}/").content.decode()
    assert "Why this band" in page
    assert "perhaps in foal, month 10" in page or "Late in foal by her record" in page
