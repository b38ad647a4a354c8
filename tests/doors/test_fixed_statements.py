"""What is asked by statements of our own is what the mapper and the doors would have answered."""

from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, suppress
from dataclasses import replace
from datetime import datetime, timedelta
from typing import Any
from uuid import UUID

import uuid_utils.compat as uuid_utils
from allauth.mfa.models import Authenticator
from django.db import models
from django.db.models import F

from scoring.access import standings
from scoring.access.alerts import alerts_in_scope
from scoring.actions import assessments, subjects
from scoring.models import Alert, Assessment, Standing
from scoring.queries import alerts
from tests import alarms, cast, factories, readings
from yards import isolation
from yards.access import doors, grants, named, opened, sight, viewers
from yards.actions import horses, restrictions
from yards.models import (
    GlassBreak,
    Grant,
    GrantHorse,
    GrantYard,
    Horse,
    Stay,
    User,
    Yard,
    notes,
    rows,
)
from yards.queries import sight as looks
from yards.rules import errors
from yards.rules.glass import WAITS
from yards.rules.roles import Role, Viewer

Inside = Callable[..., AbstractContextManager[Viewer]]
NOW = cast.ENDS.replace(year=2026)
HOUR, TICK = timedelta(hours=1), timedelta(microseconds=1)
PEOPLE = [cast.ref(each.key) for each in cast.PEOPLE]
ALL = [cast.ref(name) for name in cast.HORSES]


def _columns(row: models.Model) -> dict[str, Any]:
    return {each.attname: getattr(row, each.attname) for each in row._meta.concrete_fields}


def test_whoever_sees_less_is_handed_and_locks_what_the_doors_open(inside: Inside) -> None:
    with inside("isolde") as viewer:
        known = {horse.name: horse.id for horse in Horse.objects.all()}
        yards = {yard.name: yard.id for yard in Yard.objects.all()}
        for name in ("Teasel", "Tansy", "Marram"):
            alarms.raised(viewer, name, alarms.finding(), now=alarms.NOW)
        Alert.objects.update(exhausted_at=alarms.NOW)
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
            assert set(_read(each)) == open_to
            unheard = alerts_in_scope(each).filter(exhausted_at=alarms.NOW).order_by("id")
            told = [(told.id, told.horse) for told in alerts.exhausted(each, most=9)]
            assert told == list(unheard.values_list("ref", "horse__name"))
            locked = [standing.horse_id for standing in standings.locked(each, ALL)]
            assert locked == sorted(open_to)
            seen.add(frozenset(open_to))
        assert len(seen) == 6, "each of them saw something else, but for the two who see nothing"


def _read(viewer: Viewer) -> Iterator[int]:
    for ref in ALL:
        with suppress(errors.NotFound):
            yield doors.horse_for_read(viewer, ref).id


def test_every_column_is_as_the_mapper_reads_it_and_withheld_where_it_is(inside: Inside) -> None:
    at = cast.BEGAN + timedelta(days=90)
    with inside("isolde") as viewer:
        raw = readings.raw("Teasel", at, "4.5", "4.5", "4.5", note="Calm.")
        assessments.record_assessment(viewer, raw, now=at)
        teasel = Horse.objects.select_related("yard", "organisation").get(ref=cast.ref("Teasel"))
        [horse] = named.horses(viewer, [teasel.ref])
        alone = doors.horse_for_read(viewer, teasel.ref)
        assert _columns(alone) == _columns(teasel)
        assert _columns(alone.yard) == _columns(teasel.yard)
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
    left = moved + timedelta(days=30)
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
            (away - TICK, "Top Barn"),
            (away, "Sallow Field"),  # nowhere then: where it came next
            (moved, "Sallow Field"),
            (left, "Sallow Field"),  # where it stood last
        ):
            assert subjects.yard_at(horse, at).name == name, at


def test_a_grant_is_in_force_by_the_statement_when_it_is_by_the_condition(inside: Inside) -> None:
    with inside("perran") as elsewhere:
        _grants(elsewhere, cast.ref("maud"))
    with inside("isolde") as viewer:
        _grants(viewer, cast.ref("maud"))
        User.objects.filter(id=cast.ref("tobias")).update(is_active=False)
    counts = {}
    for person in PEOPLE:
        for at in (NOW - TICK, NOW, NOW + HOUR - TICK, NOW + HOUR):
            held = Grant.objects.filter(
                grants.in_force_at(at), person_id=person, person__is_active=True
            ).select_related("organisation")
            in_order = held.order_by("organisation__name_key", "organisation_id", "id")
            with isolation.door(person=person):
                by_condition, by_statement = list(in_order), grants.held_by(person, at)
                here = grants.held_by(person, at, viewer.organisation)
            assert [_with_organisation(each) for each in by_statement] == [
                _with_organisation(each) for each in by_condition
            ]
            assert here == [
                each for each in by_condition if each.organisation_id == viewer.organisation
            ]
            counts[person, at] = len(by_statement)
    assert [counts[cast.ref("maud"), at] for at in (NOW - TICK, NOW, NOW + HOUR)] == [3, 9, 7]
    assert {counts[cast.ref("tobias"), NOW], counts[cast.ref("perran"), NOW]} == {0, 1}


def _grants(viewer: Viewer, person: UUID) -> None:
    """One that is always in force, and one of each kind that is not, or not yet, or no more."""
    for facts in (
        {},
        {"from_at": NOW},
        {"from_at": NOW, "until_at": NOW + HOUR},
        {"revoked_at": NOW - HOUR},
        {"revoked_at": NOW + HOUR},
        {"role": "vet", "from_at": NOW, "confirmed_at": NOW},
        {"role": "vet", "confirmed_at": None},
    ):
        factories.GrantFactory.create(
            organisation_id=viewer.organisation,
            person_id=person,
            **{"role": "assessor", "all_yards": True, **facts},
        )


def _with_organisation(grant: Grant) -> tuple[dict[str, Any], dict[str, Any]]:
    return _columns(grant), _columns(grant.organisation)


def test_what_is_open_by_the_statement_is_what_the_grants_name_and_nothing_hides(
    inside: Inside,
) -> None:
    maud, tobias = cast.ref("maud"), cast.ref("tobias")
    with inside("isolde") as viewer:
        marram = Horse.objects.get(name="Marram")
        one_horse = factories.GrantFactory.create(
            organisation_id=viewer.organisation, person_id=maud, role="assessor"
        )
        here = {"organisation_id": viewer.organisation, "ref": uuid_utils.uuid7()}
        GrantHorse.objects.create(grant=one_horse, horse=marram, **here)
        sealed = {"people": [str(cast.ref("keziah"))], "reason": "Seized"}
        restrictions.restrict(viewer, cast.ref("Teasel"), sealed, now=NOW)
        _glass(viewer, tobias)
        for person, kinds in ((maud, ["recovery_codes"]), (tobias, ["recovery_codes", "totp"])):
            for kind in kinds:
                Authenticator.objects.create(user_id=person, type=kind, data={})
        seen = set()
        for person in (cast.ref("isolde"), maud, tobias):
            for at in (NOW, NOW + HOUR - TICK, NOW + HOUR):
                held = grants.held_by(person, at, viewer.organisation)
                for some in (held, held[:1], []):
                    found = opened.by(some, person, at)
                    assert found == _opened(some, person, at)
                    seen.add(found)
        assert looks.glass_now(viewer, NOW) == (2, 1)
        assert looks.glass_now(viewer, NOW + WAITS) == (0, 1)
        assert looks.glass_now(viewer, NOW + WAITS + TICK) == (0, 0)
        # Isolde is named and enters everywhere or nowhere; Maud by both of her grants, by one and
        # by none; Tobias as Isolde, by two glasses and by none.
        assert len(seen) == 2 + 3 + 2 * 3
    for each in cast.PEOPLE:
        by_token = viewers.viewer_of_token(cast.token(each.key), NOW)
        by_session = viewers.viewer_of_person(cast.ref(each.key), NOW)
        as_a_page = replace(by_token, token=None, via="page", expires_at=by_session.expires_at)
        assert as_a_page == by_session
    phone = viewers.viewer_of_token(cast.token("device"), NOW)
    assert replace(phone, role=Role.ASSESSOR, token=cast.ref("token of maud")) == replace(
        viewers.viewer_of_token(cast.token("maud"), NOW), expires_at=phone.expires_at
    )


def _glass(viewer: Viewer, person: UUID) -> None:
    """What was ended, what is over, two in force, the older for longer, and what only waits."""
    given = {"approved_by_id": viewer.person, "approved_at": NOW}
    for facts in (
        {**given, "until_at": NOW + HOUR},
        {**given, "until_at": NOW + HOUR / 2},
        {**given, "until_at": NOW + HOUR, "ended_at": NOW, "ended_by_id": person},
        {**given, "approved_at": NOW - HOUR, "until_at": NOW},
        {},
    ):
        GlassBreak.objects.create(
            organisation_id=viewer.organisation,
            ref=uuid_utils.uuid7(),
            person_id=person,
            reason="Horse down",
            asked_at=NOW,
            **facts,
        )


def _opened(some: list[Grant], person: UUID, at: datetime) -> opened.Opened:
    """What the mapper answers."""
    everywhere = any(each.all_yards for each in some)
    named_in = {"grant__in": [each.id for each in some]}
    yards = GrantYard.objects.filter(**named_in).values_list("yard_id", flat=True)
    horses = GrantHorse.objects.filter(**named_in).values_list("horse_id", flat=True)
    glass = GlassBreak.objects.filter(person_id=person, until_at__gt=at, ended_at__isnull=True)
    glass = glass.exclude(approved_by=F("person")).order_by("-id")
    factors = Authenticator.objects.filter(user_id=person, type__in=["totp", "webauthn"])
    return opened.Opened(
        yards=None if everywhere else frozenset(yards),
        horses=frozenset() if everywhere else frozenset(horses),
        hidden=frozenset(key for key, people in sight.restricted().items() if person not in people),
        glass=next((sight.Glass(each.ref, each.until_at) for each in glass if each.until_at), None),
        has_second_factor=factors.exists(),
    )
