"""What is asked by statements of our own is what the mapper and the doors would have answered."""

from collections.abc import Callable
from contextlib import AbstractContextManager
from dataclasses import replace
from datetime import timedelta
from typing import Any

from django.db import models

from scoring.access import standings
from scoring.actions import assessments, subjects
from scoring.models import Alert, Assessment, Standing
from tests import cast, readings
from yards.access import doors, named
from yards.actions import horses
from yards.models import Horse, Stay, Yard, notes, rows
from yards.rules.roles import Viewer

Inside = Callable[..., AbstractContextManager[Viewer]]
ALL = [cast.ref(name) for name in cast.HORSES]


def _columns(row: models.Model) -> dict[str, Any]:
    return {each.attname: getattr(row, each.attname) for each in row._meta.concrete_fields}


def test_whoever_sees_less_is_handed_and_locks_what_the_doors_open(inside: Inside) -> None:
    with inside("isolde") as viewer:
        known = {horse.name: horse.id for horse in Horse.objects.all()}
        yards = {yard.name: yard.id for yard in Yard.objects.all()}
        barn, named_one = frozenset({yards["Top Barn"]}), frozenset({known["Marram"]})
        seen = set()
        for each in (
            viewer,
            replace(viewer, hidden=frozenset({known["Teasel"]})),
            replace(viewer, yards=barn),
            replace(viewer, yards=frozenset(), horses=named_one),
            replace(viewer, yards=barn, horses=named_one, hidden=frozenset({known["Teasel"]})),
            replace(viewer, yards=frozenset(), horses=named_one, hidden=named_one),
            replace(viewer, yards=frozenset()),
        ):
            open_to = set(doors.horses_in_scope(each).values_list("id", flat=True))
            assert {horse.id for horse in named.horses(each, ALL)} == open_to
            locked = [standing.horse_id for standing in standings.locked(each, ALL)]
            assert locked == sorted(open_to)
            seen.add(frozenset(open_to))
        assert len(seen) == 6, "each of them saw something else, but for the two who see nothing"


def test_every_column_is_as_the_mapper_reads_it_and_withheld_where_it_is(inside: Inside) -> None:
    at = cast.BEGAN + timedelta(days=90)
    with inside("isolde") as viewer:
        raw = readings.raw("Teasel", at, "4.5", "4.5", "4.5", note="Calm.")
        assessments.record_assessment(viewer, raw, now=at)
        teasel = Horse.objects.select_related("yard", "organisation").get(ref=cast.ref("Teasel"))
        [horse] = named.horses(viewer, [teasel.ref])
        [standing] = standings.locked(viewer, [teasel.ref])
        assert _columns(horse) == _columns(teasel)
        assert _columns(horse.yard) == _columns(teasel.yard)
        assert _columns(horse.organisation) == _columns(teasel.organisation)
        assert _columns(standing) == _columns(Standing.objects.get(horse_id=teasel.id))
        assert _all(Alert, "scoring_alert") == [
            _columns(each) for each in Alert.objects.order_by("id")
        ]
        for is_withheld in (False, True):
            mark = notes.withheld.set(is_withheld)
            [read] = _all(Assessment, "scoring_assessment")
            assert read == _columns(Assessment.objects.get())
            assert read["note"] == ("" if is_withheld else "Calm.")
            notes.withheld.reset(mark)


def _all(model: type[models.Model], table: str) -> list[dict[str, Any]]:
    statement = f"SELECT {rows.columns(model, 'row')} FROM {table} row ORDER BY id"  # noqa: S608
    return [_columns(each) for each in rows.read(statement, {}, model)]


def test_a_horse_stood_where_its_stays_say(inside: Inside) -> None:
    away, moved = cast.BEGAN + timedelta(days=20), cast.BEGAN + timedelta(days=30)
    left, tick = moved + timedelta(days=30), timedelta(microseconds=1)
    with inside("isolde") as viewer:
        raw = {"yard": str(cast.ref("Sallow Field")), "at": moved.isoformat()}
        horses.move_horse(viewer, cast.ref("Teasel"), raw, now=left)
        horse = Horse.objects.select_related("yard").get(ref=cast.ref("Teasel"))
        stays = Stay.objects.filter(horse_id=horse.id)
        stays.filter(until_at=moved).update(until_at=away)
        stays.filter(from_at=moved).update(until_at=left)
        before = cast.BEGAN - timedelta(days=400)
        for at, name in (
            (before, "Top Barn"),
            (away - tick, "Top Barn"),
            (away, "Sallow Field"),  # nowhere then: where it came next
            (moved, "Sallow Field"),
            (left, "Sallow Field"),  # where it stood last
        ):
            assert subjects.yard_at(horse, at).name == name, at
