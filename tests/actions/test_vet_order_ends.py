"""A vet's order that a vet ends early: the house's own rules hold again at once."""

from datetime import timedelta
from decimal import Decimal
from typing import Any

import pytest
import uuid_utils.compat as uuid_utils

from scoring.actions import assessments, rebuilding, vet_orders
from scoring.models import Standing, VetOrderEnd
from scoring.queries import standing
from scoring.queries import vet_orders as queries
from tests import cast, readings
from tests.actions.record import NOW, entries, racing, refused
from yards.rules import errors

TEASEL = cast.ref("Teasel")
LATER = NOW + timedelta(days=3)


def give(inside: Any, **raw: Any) -> queries.VetOrderCard:
    until = (NOW + timedelta(days=60)).isoformat()
    order = {"band": {"low": "3.0", "high": "4.0"}, "reason": "Feeding up", "until": until}
    with inside("keziah") as viewer:
        return vet_orders.give_vet_order(viewer, TEASEL, {**order, **raw}, now=NOW)


def band(inside: Any, at: Any = LATER) -> tuple[Decimal, Decimal, str]:
    with inside("isolde") as viewer:
        found = standing.get_standing(viewer, TEASEL, now=at)
        return found.band.low, found.band.high, found.place


def test_the_band_is_the_houses_own_again_and_the_place_with_it(inside: Any) -> None:
    with inside("maud") as viewer:
        raw = readings.raw("Teasel", NOW - timedelta(days=1), "2.5", "2.5", "2.5")
        assessments.record_assessment(viewer, raw, now=NOW)
    own = band(inside, NOW)
    made = give(inside)
    assert band(inside) == (Decimal(3), Decimal(4), "below") != own
    with inside("keziah") as viewer:
        ended = vet_orders.end_vet_order(viewer, made.id, {"reason": "Fit again"}, now=LATER)
    assert ended.ended is not None
    assert (ended.ended.reason, ended.ends_at, ended.until) == ("Fit again", LATER, made.until)
    assert not ended.in_force(LATER)
    assert ended.in_force(LATER - timedelta(seconds=1))
    assert band(inside) == own
    with inside("isolde") as viewer:
        assert [each[0] for each in entries(made.id)] == ["vet_order.given", "vet_order.ended"]
        horse = Standing.objects.get(horse__ref=TEASEL).horse_id
        assert rebuilding.rebuild_standing(viewer, horse, now=LATER) == [], "rebuilt is stored"


def test_an_older_order_that_is_in_force_holds_again(inside: Any) -> None:
    give(inside, band={"low": "2.5", "high": "3.5"})
    newer = give(inside)
    with inside("keziah") as viewer:
        vet_orders.end_vet_order(viewer, newer.id, {"reason": "Too high"}, now=LATER)
    assert band(inside)[:2] == (Decimal("2.5"), Decimal("3.5"))


def test_what_was_so_before_it_was_ended_stays_so(inside: Any) -> None:
    made = give(inside)
    with inside("keziah") as viewer:
        vet_orders.end_vet_order(viewer, made.id, {"reason": "Fit again"}, now=LATER)
    assert band(inside, NOW + timedelta(days=1))[:2] == (Decimal(3), Decimal(4))


def test_the_same_again_is_a_replay_and_another_reason_is_refused(inside: Any) -> None:
    made = give(inside)
    raw = {"id": str(uuid_utils.uuid7()), "reason": "Fit again"}
    with inside("keziah") as viewer:
        assert not vet_orders.end_vet_order(viewer, made.id, raw, now=LATER).replayed
        assert vet_orders.end_vet_order(viewer, made.id, raw, now=LATER).replayed
        other = {"reason": "Sold"}
        told = refused(lambda: vet_orders.end_vet_order(viewer, made.id, other, now=LATER))
    assert told == (errors.Conflict, [("", "order_has_ended")])


def test_an_order_that_is_over_is_not_ended(inside: Any) -> None:
    made = give(inside)
    with inside("keziah") as viewer:
        over = NOW + timedelta(days=61)
        raw = {"reason": "Fit again"}
        told = refused(lambda: vet_orders.end_vet_order(viewer, made.id, raw, now=over))
        bare = refused(lambda: vet_orders.end_vet_order(viewer, made.id, {}, now=LATER))
    assert told == (errors.Conflict, [("", "order_has_ended")])
    assert bare == (errors.Invalid, [("reason", "required")])


def test_of_two_who_end_it_at_once_one_does(inside: Any) -> None:
    made = give(inside)

    def end(viewer: Any) -> str:
        try:
            raw = {"reason": f"Fit again, {uuid_utils.uuid7()}"}
            vet_orders.end_vet_order(viewer, made.id, raw, now=LATER)
        except errors.Conflict:
            return "refused"
        return "ended"

    assert sorted(racing("keziah", end, threads=4)) == ["ended", *["refused"] * 3]
    with inside("isolde"):
        assert VetOrderEnd.objects.count() == 1


@pytest.mark.parametrize("key", ["isolde", "tobias", "hollis", "device"])
def test_nobody_but_a_vet_ends_it(inside: Any, key: str) -> None:
    made = give(inside)
    with inside(key) as viewer:
        raw = {"reason": "Fit again"}
        told = refused(lambda: vet_orders.end_vet_order(viewer, made.id, raw, now=LATER))
    assert told == (errors.NotAllowed, [])
