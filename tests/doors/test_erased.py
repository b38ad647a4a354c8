"""A person who was erased is named nowhere: every address is asked, and every table."""

import re
from collections.abc import Iterator
from datetime import UTC, datetime
from typing import Any

import psycopg
import pytest
from django.conf import settings
from django.db import connection
from django.test import Client
from psycopg import errors as pg

from tests import cast, factories, signing
from tests.api import contract
from tests.conftest import as_somebody
from tests.doors import knocking, matrix
from tests.doors.conftest import Stage
from tests.doors.scene import Scene
from tests.doors.test_clinical_canary import holds
from tests.doors.test_isolation import connected, count, enter
from yards import audit, isolation
from yards.access import viewers
from yards.actions import emptying, grants
from yards.models import Entry, User

GONE = ("tobias", "maud", "keziah", "isolde")
CANARIES = [
    word for person in cast.PEOPLE if person.key in GONE for word in (person.name, person.email)
]
APART = re.compile(
    "account_|mfa_|usersessions_|health_|api_(schema|docs)|scoring:(help|score_|herd)"
)
SURE = {"reason": "Asked for it", "understood": "true"}
FENN = "fenn@example.org"


def second_coordinator() -> Client:
    """Somebody who is left to erase all the others."""
    with as_somebody("isolde") as viewer:
        body = {"person": FENN, "name": "Fenn Ruddock", "role": "coordinator", "yards": "all"}
        grants.issue_grant(viewer, body, now=datetime.now(UTC))
        left = {"reason": "Left"}
        grants.revoke_grant(viewer, cast.ref("grant of tobias"), left, now=datetime.now(UTC))
    fenn = User.objects.get(email=FENN)
    fenn.set_password(cast.PASSWORD)
    fenn.save(update_fields=["password"])
    return signing.as_person(fenn)


def addresses(scene: Scene) -> list[str]:
    """Every address but those of signing in, of help and of the herd, which know of nobody else."""
    rows = (*matrix.API, *matrix.PAGES)
    named = [each for each in rows if each.method == "GET" and not APART.match(each.name)]
    return sorted({knocking.path_of(row, scene) for row in named})


def singing(scene: Scene) -> list[str]:
    """Some addresses of each kind that name people: asked before, for comparison."""
    horse, alert = scene["Teasel"], scene["danger_signs"]
    return [
        *("/people/", "/people/?state=over", "/tokens/", "/record/", "/api/v1/grants/"),
        *(f"/horses/{horse}/", f"/horses/{horse}/seen-by/", f"/desk/horses/{horse}/"),
        *(f"/alerts/{alert}/", f"/people/{scene['maud']}/", "/organisation/personal/"),
        *(f"/api/v1/assessments/{scene['assessment']}/", "/api/v1/record/entries/"),
    ]


def whole_record(client: Client) -> Iterator[str]:
    path = "/api/v1/record/entries/"
    while path:
        answer = client.get(path)
        yield answer.content.decode()
        path = answer.json()["next"]


def sung(text: str) -> list[str]:
    return [word for word in CANARIES if word.casefold() in text.casefold()]


def test_no_page_no_call_no_copy_and_no_table_names_them(stage: Stage) -> None:
    with stage() as scene:
        fenn, tobias = second_coordinator(), signing.signed_in("tobias")
        # The canary sings before: otherwise nothing below could fail.
        loud = {path: sung(fenn.get(path).content.decode()) for path in singing(scene)}
        assert all(loud.values()), loud
        assert {word for words in loud.values() for word in words} == set(CANARIES)
        assert "Isolde Kerr" in tobias.get("/").content.decode()
        for key in GONE:
            answer = fenn.post(f"/organisation/personal/{cast.ref(key)}/erase/", SURE)
            assert answer.status_code == 303, answer.content
        for path in addresses(scene):
            answer = fenn.get(path)
            assert not sung(b"".join(answer).decode(errors="replace")), path
            if path.startswith("/api/v1/"):
                contract.check("GET", path, answer)
        assert not sung("".join(whole_record(fenn)))
        hollis = signing.signed_in("hollis")
        for path in ("/record/", "/api/v1/record/entries/", f"/desk/horses/{scene['Teasel']}/"):
            answer = hollis.get(path)
            assert (answer.status_code, sung(answer.content.decode())) == (200, []), path
        for key in GONE:
            copy = fenn.post("/organisation/personal/", {"person": str(cast.ref(key))})
            assert copy.status_code == 200
            assert not sung(copy.content.decode()), key
        told = tobias.get("/").content.decode()
        assert ("Erased person" in told, sung(told)) == (True, [])
        _no_table_holds_them()


def _no_table_holds_them() -> None:
    """Once the worker has looked, of no organisation either; sessions hold no names."""
    assert emptying.settle_due(now=datetime.now(UTC)) == len(GONE)
    fenn = viewers.viewer_of_person(User.objects.get(email=FENN).pk, datetime.now(UTC))
    tables = {each for kind in settings.TABLE_CLASSES.values() for each in kind}
    with isolation.of(fenn), connection.cursor() as cursor:
        left = {each for each in tables if any(holds(cursor, each, word) for word in CANARIES)}
    assert left == set()


@pytest.fixture
def runtime(database: str) -> Iterator[psycopg.Connection]:
    yield from connected(database, "DATABASE_URL")


@pytest.fixture
def owner(database: str) -> Iterator[psycopg.Connection]:
    yield from connected(database, "DATABASE_OWNER_URL")


def test_only_what_an_erasure_names_can_be_removed_whoever_tries(
    inside: Any, runtime: psycopg.Connection, owner: psycopg.Connection
) -> None:
    with inside("isolde") as viewer:
        for _ in range(3):
            audit.record(viewer, verb="test", target=("test", None), payload={}, at=cast.BEGAN)
        first = Entry.objects.order_by("id")[0]
        factories.erase_payload(viewer, first, person=cast.ref("maud"))
    with inside("perran") as viewer:
        audit.record(viewer, verb="test", target=("test", None), payload={}, at=cast.BEGAN)
    enter(owner, cast.QUILLET)
    with pytest.raises(pg.RestrictViolation, match="append-only"), owner.transaction():
        owner.execute("DELETE FROM yards_entrypayload")
    enter(runtime, cast.LARCHGILL)
    assert runtime.execute("DELETE FROM yards_entrypayload").rowcount == 0
    enter(runtime, cast.QUILLET)
    assert runtime.execute("DELETE FROM yards_entrypayload").rowcount == 1
    assert (count(runtime, "yards_entrypayload"), count(runtime, "yards_entry")) == (2, 3)
    for altered in (
        "DELETE FROM yards_erasure",
        "UPDATE yards_erasure SET alias = 'Maud Pell'",
        "DELETE FROM yards_erasedpayload",
        "UPDATE yards_entrypayload SET payload = ''",
    ):
        with pytest.raises(pg.InsufficientPrivilege), runtime.transaction():
            runtime.execute(altered)
