"""Tokens on pages: made, shown once, listed, ended."""

import re
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

import pytest
import uuid_utils.compat as uuid_utils
from django.test import Client

from tests import cast
from yards.access import viewers
from yards.models import Token
from yards.rules import errors
from yards.rules.roles import Role

SignIn = Callable[[str], Client]
BARN_PHONE = f"/tokens/{cast.ref('token of device')}/revoke/"
SECRET = re.compile(r"hp_[A-Za-z0-9_-]{43}")


def text(client: Client, path: str) -> str:
    return client.get(path).content.decode()


def phone(**changes: Any) -> dict[str, Any]:
    return {"id": str(uuid_utils.uuid7()), "label": "Yard phone", "device": "true", **changes}


def test_a_coordinator_makes_a_phones_token_and_sees_it_once(signed_in: SignIn) -> None:
    client = signed_in("isolde")
    answer = client.post("/tokens/add/", phone(person=str(cast.ref("maud"))))
    assert answer.status_code == 200
    assert "no-store" in answer.headers["Cache-Control"]
    page = answer.content.decode()
    [secret] = set(SECRET.findall(page))
    assert "the only time it is shown" in page
    entered = viewers.viewer_of_token(secret, datetime.now(UTC))
    assert (entered.person, entered.role) == (cast.ref("maud"), Role.DEVICE)
    listed = text(client, "/tokens/")
    assert "Yard phone" in listed
    assert secret not in listed


def test_a_program_acts_as_its_person_and_is_made_by_them_only(signed_in: SignIn) -> None:
    mine = signed_in("keziah").post("/tokens/add/", phone(device="false", label="My notes"))
    [secret] = set(SECRET.findall(mine.content.decode()))
    assert viewers.viewer_of_token(secret, datetime.now(UTC)).role is Role.VET
    theirs = phone(device="false", person=str(cast.ref("keziah")))
    refused = signed_in("isolde").post("/tokens/add/", theirs)
    assert refused.status_code == 422
    assert "makes their own" in refused.content.decode()


def test_what_is_not_said_to_be_a_program_may_only_record(signed_in: SignIn) -> None:
    for device in ("", "TRUE", "program"):
        answer = signed_in("tobias").post("/tokens/add/", phone(device=device))
        [secret] = set(SECRET.findall(answer.content.decode()))
        assert viewers.viewer_of_token(secret, datetime.now(UTC)).role is Role.DEVICE


def test_a_form_sent_twice_makes_one_and_does_not_show_it_again(
    signed_in: SignIn, inside: Any
) -> None:
    client, sent = signed_in("maud"), phone()
    assert client.post("/tokens/add/", sent).status_code == 200
    again = client.post("/tokens/add/", sent)
    assert again.status_code == 409
    assert not SECRET.search(again.content.decode())
    assert "made already" in again.content.decode()
    with inside("maud"):
        assert Token.objects.filter(label="Yard phone").count() == 1


@pytest.mark.parametrize(
    ("changes", "field", "says"),
    [
        ({"label": ""}, "label", "cannot be left out"),
        ({"until": "2020-01-01T09:00"}, "until", "still to come"),
        ({"until": "2099-01-01T09:00"}, "until", "within 731 days"),
        ({"until": "soon"}, "until", "date and time"),
        ({"person": str(cast.ref("hollis"))}, "person", "Name one who may"),
        ({"person": str(cast.ref("perran"))}, "person", "in your reach"),
    ],
)
def test_a_bad_form_keeps_what_was_typed_and_names_the_fault(
    signed_in: SignIn, changes: dict[str, Any], field: str, says: str
) -> None:
    answer = signed_in("isolde").post("/tokens/add/", {**phone(), **changes})
    page = answer.content.decode()
    assert answer.status_code == 422
    assert f'href="#{field}"' in page
    assert says in page
    assert field == "label" or 'value="Yard phone"' in page


def test_until_is_read_by_the_yards_clock(signed_in: SignIn, inside: Any) -> None:
    ends = datetime.now(ZoneInfo("Europe/London")).replace(second=0, microsecond=0)
    ends += timedelta(days=200)
    signed_in("maud").post("/tokens/add/", phone(until=f"{ends:%Y-%m-%dT%H:%M}"))
    with inside("maud"):
        assert Token.objects.get(label="Yard phone").expires_at == ends


def test_each_sees_and_ends_their_own_and_coordinators_everybodys(signed_in: SignIn) -> None:
    maud, tobias = signed_in("maud"), signed_in("tobias")
    assert "Barn phone" in text(maud, "/tokens/")
    assert "Tobias Wren" not in text(maud, "/tokens/")
    assert "Barn phone" not in text(tobias, "/tokens/")
    assert "Barn phone" in text(signed_in("isolde"), "/tokens/")
    assert tobias.get(BARN_PHONE).status_code == 403
    assert tobias.post(BARN_PHONE).status_code == 403
    assert "Barn phone" in text(maud, BARN_PHONE)
    assert maud.post(BARN_PHONE).status_code == 303
    assert maud.post(BARN_PHONE).status_code == 303, "again is no harm"
    with pytest.raises(errors.NotSignedIn):
        viewers.viewer_of_token(cast.token("device"), datetime.now(UTC))
    other = f"/tokens/{cast.ref('token of tobias')}/revoke/"
    assert signed_in("isolde").post(other).status_code == 303


def test_an_auditor_looks_and_makes_none(signed_in: SignIn) -> None:
    client = signed_in("hollis")
    page = text(client, "/tokens/")
    assert "Hollis Brand, test program" in page
    assert "Make a token" not in page
    own = f"/tokens/{cast.ref('token of hollis')}/revoke/"
    assert own not in page
    assert client.post(own).status_code == 403
    assert client.get("/tokens/add/").status_code == 403
    assert client.post("/tokens/add/", phone()).status_code == 403


def test_another_organisations_tokens_are_nothing(signed_in: SignIn) -> None:
    client = signed_in("perran")
    assert client.get(BARN_PHONE).status_code == 404
    assert client.post(BARN_PHONE).status_code == 404
    assert "Barn phone" not in text(client, "/tokens/")


def test_tokens_are_found_from_people_and_from_settings(signed_in: SignIn) -> None:
    client = signed_in("isolde")
    for path in ("/people/", "/settings/"):
        assert 'href="/tokens/"' in text(client, path)
