"""Who sees what within their scope: restricted horses, a part of the record, need, and the end."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from django.db import connection
from django.test import Client

from scoring.models import Assessment, Concern, Photo, Standing, Weighing
from scoring.queries import recipients
from tests import cast, factories, signing
from tests.api.asking import Asker
from tests.conftest import as_somebody, viewer_of
from tests.doors import knocking, matrix
from tests.doors.conftest import Stage
from yards import isolation
from yards.access import viewers
from yards.actions import grants, restrictions
from yards.models import Grant
from yards.queries import endings, sight
from yards.rules.roles import Role, Verb, Viewer, may

HOUR = timedelta(hours=1)
TEASEL = cast.ref("Teasel")
SEALED = {"people": [str(cast.ref("keziah"))], "reason": "Seized"}


def second_coordinator() -> None:
    """Tobias coordinates as well, as nobody's friend: he is named nowhere."""
    with as_somebody("isolde") as viewer:
        factories.GrantFactory.create(
            organisation_id=viewer.organisation,
            person_id=cast.ref("tobias"),
            role="coordinator",
            all_yards=True,
        )


def client_of(key: str) -> Client:
    return signing.signed_in(key)


def test_a_restricted_horse_is_nowhere_for_a_coordinator_who_is_not_named(stage: Stage) -> None:
    with stage() as scene:
        second_coordinator()
        now = datetime.now(UTC)
        with as_somebody("isolde") as viewer:
            restrictions.restrict(viewer, TEASEL, SEALED, now=now)
        asker, client = Asker("tobias"), client_of("tobias")
        own = {name for name, each in scene.ids.items() if each == str(TEASEL)}
        for row in (*matrix.API, *matrix.PAGES):
            if row.method != "GET" or (row.ids and set(row.ids.values()) - own):
                continue
            path = knocking.path_of(row, scene)
            answer = asker.get(path) if row in matrix.API else client.get(path)
            assert answer.status_code < 500, path
            if row.ids:
                assert answer.status_code == 404, path
            assert b"Teasel" not in answer.content.replace(b'name="Teasel"', b""), path
        other = {
            name: scene[name] for name in ("assessment", "weighing", "concern", "danger_signs")
        }
        for name, ref in other.items():
            assert ref not in str(Asker("tobias").get("record/entries/").json()), name
        assert client.get(f"/alerts/{other['danger_signs']}/").status_code == 404
        _nothing_past_the_doors()
        with as_somebody("isolde") as system:
            reach = {
                each.person: each.covers(horse=_key_of_teasel(), yard=0)
                for each in recipients.reaches(system, roles=list(Role), now=now)
            }
            assert {key for key in ("isolde", "tobias", "keziah") if reach[cast.ref(key)]} == {
                "isolde",
                "keziah",
            }
        # To those named nothing has changed.
        assert client_of("keziah").get(f"/horses/{TEASEL}/").status_code == 200
        assert client_of("isolde").get(f"/horses/{TEASEL}/seen-by/").status_code == 200


def _key_of_teasel() -> int:
    with connection.cursor() as cursor:
        cursor.execute("SELECT id FROM yards_horse WHERE ref = %s", [TEASEL])
        row = cursor.fetchone()
    return int(row[0]) if row else 0


def _nothing_past_the_doors() -> None:
    """Whatever is asked without a door: the database has the same answer."""
    with as_somebody("isolde"):
        key = _key_of_teasel()
    with as_somebody("tobias"):
        for model in (Assessment, Weighing, Concern, Photo, Standing):
            assert not model.objects.filter(horse_id=key).exists()
        assert _key_of_teasel() == 0


@contextmanager
def granted(key: str, **facts: Any) -> Iterator[None]:
    with as_somebody("isolde"):
        changed = Grant.objects.filter(ref=cast.ref(f"grant of {key}")).update(**facts)
        assert changed == 1
    yield


def test_a_part_of_the_record_bounds_every_table_and_every_address(stage: Stage) -> None:
    """All of the scene was taken within hours: before a window of a year ago there is nothing."""
    until = datetime.now(UTC) - timedelta(days=365)
    with stage() as scene, granted("hollis", record_until=until):
        viewer = viewer_of("hollis")
        assert viewer.record_until == until
        with isolation.of(viewer, read_only=True):
            for model in (Assessment, Weighing, Concern, Photo, Standing):
                assert not model.objects.exists(), model
        client, asker = client_of("hollis"), Asker("hollis")
        for row in (*matrix.API, *matrix.PAGES):
            if row.method != "GET" or row.ids.get("id", "Teasel") != "Teasel" or "rule" in row.ids:
                continue
            path = knocking.path_of(row, scene)
            answer = asker.get(path) if row in matrix.API else client.get(path)
            assert answer.status_code < 500, path
            for name in ("assessment", "weighing", "photo", "concern", "event", "note"):
                assert scene[name] not in answer.content.decode(), (path, name)
        assert client.get(f"/assessments/{scene['assessment']}/").status_code == 404
        assert asker.get(f"photos/{scene['photo']}/image/").status_code == 404
        assert client.get("/", follow=True).redirect_chain[-1][0] == "/desk/"
    with (
        stage(),
        granted("hollis", record_from=until),
        isolation.of(viewer_of("hollis"), read_only=True),
    ):
        assert Assessment.objects.exists()


def test_two_windows_open_no_more_than_each_of_them(database: str) -> None:
    now = datetime.now(UTC)
    with (
        granted("hollis", record_from=now - 9 * HOUR, sees_notes=True),
        as_somebody("isolde") as at,
    ):
        factories.GrantFactory.create(
            organisation_id=at.organisation,
            person_id=cast.ref("hollis"),
            role="auditor",
            all_yards=True,
            record_from=now - 5 * HOUR,
            record_until=now,
        )
    viewer = viewer_of("hollis")
    assert (viewer.record_from, viewer.record_until) == (now - 5 * HOUR, now)
    assert not may(viewer, Verb.READ_NOTES)


def test_notes_and_contacts_are_shown_where_the_grant_says_so(stage: Stage) -> None:
    with stage() as scene:
        with as_somebody("isolde") as viewer:
            person = {"person": "fenn@example.org", "name": "Fenn Ruddock", "role": "assessor"}
            grants.issue_grant(viewer, {**person, "yards": "all"}, now=datetime.now(UTC))
        seen = f"horses/{scene['Teasel']}/concerns/"
        path, ledger = f"/horses/{scene['Teasel']}/", "record/entries/"
        for flags in (False, True):
            with granted("hollis", sees_notes=flags, sees_contacts=flags, sees_clinical=flags):
                page = client_of("hollis").get(path).content
                entries = Asker("hollis").get(ledger).content
            assert (b"Dull" in page) is flags, seen
            assert (b"fenn@example.org" in entries) is flags
            assert (b"May she be clipped?" in page) is flags
            assert (b"Heart murmur" in page) is flags


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"revoked_at": -HOUR, "revoked_by_id": "isolde"}, "Isolde Kerr ended it"),
        ({"until_at": -HOUR, "issued_by_id": "isolde"}, "as was set when Isolde Kerr let you in"),
    ],
    ids=["revoked", "expired"],
)
def test_whoever_was_shut_out_is_told_when_and_by_whom_and_nobody_else_is(
    database: str, change: dict[str, Any], said: str
) -> None:
    now = datetime.now(UTC)
    facts = {
        name: now + value if isinstance(value, timedelta) else cast.ref(value)
        for name, value in change.items()
    }
    maud = client_of("maud")
    assert maud.get("/").status_code == 200
    with granted("maud", **facts):
        pass
    teasel = cast.ref("Teasel")
    for path in ("/", "/wall/", f"/horses/{teasel}/", f"/horses/{teasel}/readings.csv"):
        answer = maud.get(path)
        assert answer.status_code == 403, path
        assert said in answer.content.decode(), path
    for answer in (maud.get("/api/v1/me/"), maud.post("/api/v1/assessments/", b"{}", "text/plain")):
        assert answer.status_code == 401
        assert said in answer.json()["detail"]
        assert cast.QUILLET in answer.json()["detail"]
    # A token of hers, and a stranger, are told nothing.
    for key in ("maud", "device"):
        assert "ended" not in Asker(key).get("me/").json()["detail"]


def test_an_end_is_told_before_it_comes(inside: Callable[..., Any]) -> None:
    now = datetime.now(UTC)
    with granted("maud", until_at=now + timedelta(days=3), issued_by_id=cast.ref("isolde")):
        pass
    assert b"Your access here ends at" in client_of("maud").get("/horses/").content
    told = client_of("isolde").get("/horses/").content.decode()
    assert "The access of" in told
    assert "Maud Pell" in told
    with inside("isolde") as viewer:
        assert [each.person.name for each in endings.of_mine(viewer, now)] == ["Maud Pell"]
    assert b"ends at" not in client_of("tobias").get("/horses/").content


def test_two_taps_let_an_officer_and_a_vet_in_until_midnight_in_the_yard(database: str) -> None:
    isolde = client_of("isolde")
    page = isolde.get("/people/").content.decode()
    assert "Let in as officer" in page
    for key, role in (("hollis", "auditor"), ("keziah", "vet")):
        answer = isolde.post("/people/today/", {"person": str(cast.ref(key)), "role": role})
        assert answer.status_code == 303, answer.content
        with as_somebody("isolde"):
            grant = Grant.objects.filter(person_id=cast.ref(key)).order_by("-id")[0]
        assert (grant.role, grant.all_yards, bool(grant.reason)) == (role, True, True)
        # Of London, by its own clock: midnight is at 23:00 UTC in summer.
        assert grant.until_at is not None
        assert (grant.until_at - grant.from_at) <= timedelta(days=1, hours=1)
        assert grant.until_at.minute == 0
    assert grant.registration_number == "7002001"
    assert grant.confirmed_at is None


def test_everybody_who_can_see_a_horse_is_listed_with_the_reason(
    inside: Callable[..., Any],
) -> None:
    now = datetime.now(UTC)
    with inside("isolde") as viewer:
        found = sight.seers_of(viewer, cast.ref("Marram"), now=now)
    assert [each.person.name for each in found] == [
        "Isolde Kerr",
        "Dr Keziah Orme",
        "Tobias Wren",
        "Hollis Brand",
    ]
    for each in found:
        who = viewers.viewer_of_person(each.person.id, now)
        with isolation.of(who):
            assert _sees_marram(who)


def _sees_marram(viewer: Viewer) -> bool:
    with connection.cursor() as cursor:
        cursor.execute("SELECT count(*) FROM yards_horse WHERE ref = %s", [cast.ref("Marram")])
        row = cursor.fetchone()
    return bool(row and row[0])
