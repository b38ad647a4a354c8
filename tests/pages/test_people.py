"""People on pages: let in, seen in the list, ended; and who may not."""

import os
import pty
import subprocess
import sys
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
import uuid_utils.compat as uuid_utils
from django.test import Client

from tests import cast, factories
from tests.conftest import ROOT
from yards.access import viewers
from yards.models import Entry, Grant, User
from yards.rules import errors
from yards.rules.roles import Role

SignIn = Callable[[str], Client]
TOBIAS = f"/people/{cast.ref('grant of tobias')}/revoke/"


def text(client: Client, path: str) -> str:
    return client.get(path).content.decode()


def jonty(**changes: Any) -> dict[str, Any]:
    """The form of a grant for Jonty Farr, as filled in."""
    return {
        "id": str(uuid_utils.uuid7()),
        "person": "Jonty@Example.org",
        "name": "Jonty Farr",
        "role": "assessor",
        "yards": [str(cast.ref("Top Barn")), str(cast.ref("Sallow Field"))],
        "reason": "Cover for July",
        **changes,
    }


def test_a_coordinator_lets_somebody_in_who_then_sees_what_was_named(
    signed_in: SignIn, inside: Any
) -> None:
    client = signed_in("isolde")
    sent = jonty(horses=str(cast.ref("Marram")))
    assert client.post("/people/add/", sent).headers["Location"].startswith("/people/?saved=")
    page = text(client, "/people/")
    for said in ("Jonty Farr", "jonty@example.org", "Sallow Field, Top Barn", "Marram"):
        assert said in page
    assert "Cover for July" in page
    person = User.objects.get(email="jonty@example.org")
    assert not person.has_usable_password()
    viewer = viewers.viewer_of_person(person.id, datetime.now(UTC))
    assert (viewer.role, len(viewer.yards or ()), len(viewer.horses)) == (Role.ASSESSOR, 2, 1)
    with inside("isolde"):
        assert Entry.objects.filter(verb="grant.issued").count() == 1


def test_a_form_sent_twice_lets_one_person_in_once(signed_in: SignIn, inside: Any) -> None:
    client, sent = signed_in("isolde"), jonty(until="2099-01-01T12:00")
    for _ in range(2):
        assert client.post("/people/add/", sent).status_code == 303
    with inside("isolde") as viewer:
        made = Grant.objects.filter(organisation_id=viewer.organisation, reason="Cover for July")
        assert made.count() == 1
        assert Entry.objects.filter(verb="grant.issued").count() == 1
    other = client.post("/people/add/", {**sent, "reason": "Something else"})
    assert other.status_code == 409
    assert "This form was saved before, and that stands." in other.content.decode()


@pytest.mark.parametrize(
    ("changes", "field", "says"),
    [
        ({"person": ""}, "person", "cannot be left out"),
        ({"person": "jonty"}, "person", "an email address"),
        ({"person": "jonty@"}, "person", "an email address"),
        ({"role": ""}, "role", "cannot be left out"),
        ({"yards": []}, "yards", "Name the yards or horses"),
        ({"all_yards": "true"}, "yards", "not both"),
        ({"role": "coordinator"}, "yards", "covers all yards"),
        ({"role": "vet"}, "registration_number", "cannot be left out"),
        ({"register": "invented register"}, "registration_number", "Only a vet"),
        ({"until": "2020-01-01T09:00"}, "until", "after the beginning"),
        ({"until": "tomorrow"}, "until", "date and time"),
        ({"yards": [str(cast.ref("Larchgill Yard"))]}, "yards", "in your reach"),
        ({"horses": str(cast.ref("Gorse"))}, "horses", "in your reach"),
    ],
)
def test_a_bad_form_keeps_what_was_typed_and_names_the_fault(
    signed_in: SignIn, changes: dict[str, Any], field: str, says: str
) -> None:
    answer = signed_in("isolde").post("/people/add/", jonty(**changes))
    page = answer.content.decode()
    assert answer.status_code == 422
    assert f'href="#{field}"' in page
    assert says in page
    assert 'value="Jonty Farr"' in page
    assert "There is no such field" not in page
    assert not User.objects.filter(name="Jonty Farr").exists()


def test_a_vet_waits_for_their_own_sign_in(signed_in: SignIn) -> None:
    client = signed_in("isolde")
    vet = {"role": "vet", "registration_number": "7002002", "register": "invented register"}
    assert client.post("/people/add/", jonty(yards=[], all_yards="true", **vet)).status_code == 303
    page = text(client, "/people/")
    assert "Waiting" in page
    assert "7002002, invented register" in page
    person = User.objects.get(email="jonty@example.org")
    with pytest.raises(errors.NotSignedIn):
        viewers.viewer_of_person(person.id, datetime.now(UTC))


def test_a_grant_is_ended_with_a_reason_and_shuts_the_door_at_once(signed_in: SignIn) -> None:
    client, tobias = signed_in("isolde"), signed_in("tobias")
    assert tobias.get("/").status_code == 200
    assert "Tobias Wren" in text(client, TOBIAS)
    without = client.post(TOBIAS, {"reason": " "})
    assert without.status_code == 422
    assert 'href="#reason"' in without.content.decode()
    answer = client.post(TOBIAS, {"reason": "Moved away"})
    assert answer.headers["Location"].startswith("/people/?state=over&saved=ended.")
    assert "Moved away" in text(client, "/people/?state=over")
    assert "Tobias Wren" not in text(client, "/people/")
    assert tobias.get("/").status_code == 403
    assert client.post(TOBIAS, {"reason": "Moved away"}).status_code == 303, "again is no harm"
    assert "Nothing more needs doing" in text(client, TOBIAS)


def test_the_last_coordinator_stays(signed_in: SignIn) -> None:
    path = f"/people/{cast.ref('grant of isolde')}/revoke/"
    answer = signed_in("isolde").post(path, {"reason": "Holiday"})
    assert answer.status_code == 409
    assert "Somebody must coordinate" in answer.content.decode()
    assert 'value="Holiday"' in answer.content.decode()


def test_states_are_told_in_words(signed_in: SignIn, inside: Any) -> None:
    now, day = datetime.now(UTC), timedelta(days=1)
    times = {
        "soon": (now - day, now + 3 * day),
        "later": (now + day, None),
        "over": (now - day, now),
    }
    with inside("isolde") as viewer:
        for name, (begins, ends) in times.items():
            person = User.objects.create_user(
                email=f"{name}@example.org", name=f"Somebody {name}", created_at=now
            )
            factories.GrantFactory(  # type: ignore[no-untyped-call]
                organisation_id=viewer.organisation,
                person=person,
                role="auditor",
                all_yards=True,
                from_at=begins,
                until_at=ends,
            )
    page = text(signed_in("isolde"), "/people/")
    for said in ("Ends soon", "Not begun", "In force"):
        assert said in page
    # Whoever has been here as a visitor can be let in for today; the list is of grants in force.
    assert "Somebody over" not in page[page.index("<table") :]
    assert "Somebody over" in text(signed_in("isolde"), "/people/?state=over")


def typed(command: list[str], answers: list[str], environment: dict[str, str]) -> str:
    """Run a command at a terminal of its own, answer each question, and return what it said."""
    ours, theirs = pty.openpty()
    ends: Any = {"stdin": theirs, "stdout": theirs, "stderr": theirs}
    with subprocess.Popen(command, cwd=ROOT, env=environment, start_new_session=True, **ends):
        os.close(theirs)
        said = ""
        for question in ("Password:", "Password (again):"):
            while question not in said:
                said += os.read(ours, 1000).decode()
            os.write(ours, f"{answers.pop(0)}\n".encode())
        try:
            while read := os.read(ours, 1000):
                said += read.decode()
        except OSError:  # how Linux says that the other end is closed
            pass
    os.close(ours)
    return said


def test_whoever_runs_the_server_can_set_a_password_where_no_mail_goes(
    signed_in: SignIn, environment: dict[str, str]
) -> None:
    client = signed_in("isolde")
    client.post("/people/add/", jonty())
    command = [sys.executable, "manage.py", "changepassword", "jonty@example.org"]
    said = typed(command, [cast.PASSWORD] * 2, environment)
    assert "changed successfully" in said
    sent = {"login": "jonty@example.org", "password": cast.PASSWORD}
    own = Client()
    assert own.post("/accounts/login/", sent).status_code == 302
    assert own.get("/").status_code == 200


def test_the_page_says_how_somebody_new_gets_in(signed_in: SignIn) -> None:
    for path in ("/people/", "/people/add/"):
        page = text(signed_in("isolde"), path)
        assert "Somebody new comes in by an invitation" in page
        assert "Times are those of Europe/London" in page


@pytest.mark.parametrize("caller", ["maud", "keziah", "hollis"])
@pytest.mark.parametrize("path", ["/people/", "/people/add/", TOBIAS])
def test_only_coordinators_see_people(signed_in: SignIn, caller: str, path: str) -> None:
    assert signed_in(caller).get(path).status_code == 403


def test_another_organisations_grants_are_nothing(signed_in: SignIn) -> None:
    client = signed_in("perran")
    assert client.get(TOBIAS).status_code == 404
    assert client.post(TOBIAS, {"reason": "Mischief"}).status_code == 404
    page = text(client, "/people/")
    assert "Perran Holt" in page
    assert "Tobias" not in page
    assert "Top Barn" not in text(client, "/people/add/")
