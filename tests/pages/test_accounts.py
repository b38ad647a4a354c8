"""Passwords, second factors, sessions, lock-out: one's own account."""

import re
import time
from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from allauth.mfa.totp.internal.auth import (
    TOTP,
    format_hotp_value,
    hotp_value,
    yield_hotp_counters_from_time,
)
from django.test import Client
from pytest_django import Settings

from tests import cast, mailbox, signing
from tests.api.asking import Asker
from tests.mailbox import Mailbox
from yards.actions import grants, letters
from yards.models import Letter, Organisation, User

SignIn = Callable[[str], Client]
FORGOTTEN = "/accounts/password/forgotten/"
NEW = "seven wet ponies in a row"
LINK = re.compile(r"http://127\.0\.0\.1:8000(\S+)")


@pytest.fixture
def post(own_cache: None) -> Iterator[Mailbox]:
    with mailbox.opened() as box:
        yield box


def send(post: Mailbox) -> int:
    """What the worker does each second."""
    return letters.deliver_due(now=datetime.now(UTC))


def by_form(key: str, password: str = cast.PASSWORD, **headers: str) -> tuple[Client, Any]:
    """Sign in as people do."""
    client = Client(headers=headers)
    sent = {"login": f"{key}@example.org", "password": password}
    return client, client.post("/accounts/login/", sent)


def code_of(secret: str) -> str:
    """The code that an app shows now."""
    return str(format_hotp_value(hotp_value(secret, next(iter(yield_hotp_counters_from_time())))))


def with_app(key: str) -> str:
    """Give somebody an app for codes and return its secret."""
    user = User.objects.get(id=cast.ref(key))
    secret = "JBSWY3DPEHPK3PXPJBSWY3DPEHPK3PXP"
    TOTP.activate(user, secret)
    return secret


def test_a_forgotten_password_is_chosen_anew_and_nobody_learns_who_there_is(
    signed_in: SignIn, post: Mailbox
) -> None:
    elsewhere = signed_in("maud")
    own = Client()
    asked = [
        own.post("/accounts/password/forgotten/", {"email": email})
        for email in ("Maud@example.org", "nobody@example.org")
    ]
    assert [(each.status_code, each.headers["Location"]) for each in asked] == [
        (302, "/accounts/password/sent/")
    ] * 2
    assert Letter.objects.count() == 2, "one row each: nobody was looked up"
    assert send(post) == 1
    assert [len(post.to(f"{each}@example.org")) for each in ("maud", "nobody")] == [1, 0]
    found = LINK.search(mailbox.text_of(post.to("maud@example.org")[0]))
    assert found is not None
    link = own.get(found[1]).headers["Location"]
    assert "set-password" in link, "the key is out of the address"
    page = own.post(link, {"password1": "short", "password2": "short"}).content.decode()
    assert "too short" in page
    assert own.post(link, {"password1": NEW, "password2": NEW}).status_code == 302
    assert by_form("maud", NEW)[1].status_code == 302
    assert elsewhere.get("/").status_code == 302, "who was signed in elsewhere is out"
    again = Client()
    assert "This link opens nothing" in again.get(found[1]).content.decode()
    assert send(post) == 1
    assert "by a link" in mailbox.text_of(post.to("maud@example.org")[-1])


def test_a_letter_for_a_password_that_waited_too_long_is_not_sent(
    post: Mailbox, database: str
) -> None:
    Client().post("/accounts/password/forgotten/", {"email": "maud@example.org"})
    assert letters.deliver_due(now=datetime.now(UTC) + timedelta(hours=2)) == 0
    assert not Letter.objects.exists()


def test_a_password_is_changed_and_everywhere_else_signed_out(
    signed_in: SignIn, post: Mailbox
) -> None:
    here, _ = by_form("maud")
    there, _ = by_form("maud")
    page = here.get("/accounts/sessions/").content.decode()
    assert [page.count("This device"), page.count("Another device")] == [1, 1]
    assert there.get("/").status_code == 200
    assert here.post("/accounts/sessions/").status_code == 302
    assert [there.get("/").status_code, here.get("/").status_code] == [302, 200]
    sent = {"oldpassword": cast.PASSWORD, "password1": NEW, "password2": NEW}
    assert here.post("/accounts/password/", {**sent, "oldpassword": "wrong"}).status_code == 200
    assert here.post("/accounts/password/", sent).status_code == 302
    assert here.get("/").status_code == 200
    assert [by_form("maud")[1].status_code, by_form("maud", NEW)[1].status_code] == [200, 302]
    assert send(post) == 1
    assert "Your password was changed" in post.subjects()


def test_whoever_has_no_password_is_led_to_where_a_first_one_is_asked_for(
    signed_in: SignIn, post: Mailbox
) -> None:
    user = User.objects.get(id=cast.ref("maud"))
    user.set_unusable_password()
    user.save()
    own = signed_in("maud")
    for answer in (own.get("/accounts/password/"), own.post("/accounts/password/")):
        assert (answer.status_code, answer.headers["Location"]) == (303, FORGOTTEN)
    assert own.get(FORGOTTEN).status_code == 200
    assert own.post(FORGOTTEN, {"email": "maud@example.org"}).status_code == 302
    assert send(post) == 1
    assert LINK.search(mailbox.text_of(post.to("maud@example.org")[0])) is not None


def test_an_address_is_changed_once_the_new_one_has_answered(post: Mailbox, database: str) -> None:
    own, _ = by_form("maud")
    for email in ("tobias@example.org", "maud.pell@example.org"):
        asked = {"email": email, "action_add": ""}
        assert own.post("/accounts/email/", asked).status_code == 302, "taken or not, the same"
    assert send(post) == 1
    assert post.to("tobias@example.org") == []
    found = LINK.search(mailbox.text_of(post.to("maud.pell@example.org")[0]))
    assert found is not None
    assert "From now on you sign in by" in own.get(found[1]).content.decode()
    assert User.objects.get(id=cast.ref("maud")).email == "maud@example.org"
    assert own.post(found[1]).status_code == 302
    assert User.objects.get(id=cast.ref("maud")).email == "maud.pell@example.org"
    assert by_form("maud.pell")[1].status_code == 302


def test_a_second_factor_is_set_up_asked_for_and_taken_away(post: Mailbox, database: str) -> None:
    own, _ = by_form("maud")
    page = own.get("/accounts/2fa/app/").content.decode()
    secret = re.search(r'<b class="code">(\w+)</b>', page)
    assert secret is not None
    wrong = own.post("/accounts/2fa/app/", {"code": "000000"})
    assert "Incorrect code" in wrong.content.decode()
    assert own.post("/accounts/2fa/app/", {"code": code_of(secret[1])}).status_code == 302
    codes = re.findall(
        r'<b class="code">(\d+)</b>', own.get("/accounts/2fa/codes/").content.decode()
    )
    assert len(codes) == 10
    other, answer = by_form("maud")
    assert answer.headers["Location"] == "/accounts/2fa/authenticate/"
    assert other.get("/").status_code == 302, "the password alone opens nothing"
    assert "One more step" in other.get("/accounts/2fa/authenticate/").content.decode()
    assert other.post("/accounts/2fa/authenticate/", {"code": codes[0]}).status_code == 302
    assert other.get("/").status_code == 200
    third, _ = by_form("maud")
    third.post("/accounts/2fa/authenticate/", {"code": codes[0]})
    assert third.get("/").status_code == 302, "a spare code opens once"
    assert other.post("/accounts/2fa/app/off/").status_code == 302
    assert by_form("maud")[1].headers["Location"] == "/"
    assert send(post) >= 2
    assert "A second factor was set up" in post.subjects()


def test_an_organisation_asks_for_a_second_factor_from_the_next_click_on(
    signed_in: SignIn, own_cache: None, inside: Any
) -> None:
    isolde, keziah, maud = signed_in("isolde"), signed_in("keziah"), signed_in("maud")
    phone = Asker("keziah")
    asked = {"overall_rule": "mean", "second_factor": "true", "version": "1"}
    assert isolde.post("/organisation/", asked).status_code == 303
    setup = "/accounts/2fa/?why=organisation"
    for client in (isolde, keziah):
        assert client.get("/").headers["Location"] == setup
        assert client.get(setup).status_code == 200
    assert (
        isolde.post("/people/invite/vet/", {"email": "x@example.org"}).headers["Location"] == setup
    )
    assert keziah.get("/api/v1/horses/").status_code == 401, "a session, not a token"
    assert phone.get("horses/").status_code == 200, "a token made before goes on"
    assert maud.get("/").status_code == 200, "an assessor is not asked"
    with_app("keziah")
    assert keziah.get("/").status_code == 200
    with inside("isolde") as viewer:
        assert Organisation.objects.get(id=viewer.organisation).second_factor
    assert signed_in("perran").get("/").status_code == 200, "another organisation asks nobody"


def test_the_password_is_asked_for_again_before_people_are_changed_and_nothing_is_lost(
    signed_in: SignIn, own_cache: None
) -> None:
    isolde = signed_in("isolde")
    signing.gave_password(isolde, time.time() - 16 * 60)
    for path in ("/people/invite/", "/people/add/", "/tokens/add/", "/organisation/"):
        answer = isolde.get(path)
        assert answer.headers["Location"].startswith("/accounts/reauthenticate/?next="), path
    assert isolde.get("/people/").status_code == 200
    assert isolde.get("/rules/fat/").status_code == 200, "reading a rule asks nothing"
    sent = {"email": "jonty@example.org", "role": "", "all_yards": "true", "reason": "July"}
    where = isolde.post("/people/invite/", sent).headers["Location"]
    assert "Is it you?" in isolde.get(where).content.decode()
    assert isolde.post(where, {"password": "wrong"}).status_code == 200
    answer = isolde.post(where, {"password": cast.PASSWORD, "next": "/people/invite/"})
    page = answer.content.decode()
    assert answer.status_code == 422, "the form that was sent is taken up where it was"
    assert 'value="July"' in page
    assert isolde.get("/tokens/add/").status_code == 200


@pytest.mark.parametrize("proxies", [0, 1])
def test_no_header_gets_anybody_past_the_lock_nor_locks_the_others_out(
    database: str, own_cache: None, settings: Settings, proxies: int
) -> None:
    settings.ALLAUTH_TRUSTED_PROXY_COUNT = proxies
    from_here = "203.0.113.9"

    def told(number: int) -> str:
        # What a client claims comes first; what our proxy saw, last.
        claimed = f"198.51.100.{number}"
        return f"{claimed}, {from_here}" if proxies else claimed

    for number in range(5):
        by_form("maud", "wrong-wrong-wrong", X_Forwarded_For=told(number))
    _, locked = by_form("maud", X_Forwarded_For=told(99))
    assert locked.status_code == 200, "the right password, refused as a wrong one is"
    assert "Too many failed login attempts" in locked.content.decode()
    for number in range(5):
        by_form("nobody", "wrong-wrong-wrong", X_Forwarded_For=told(number))
    assert by_form("tobias", X_Forwarded_For=told(100))[1].status_code == 200, "by address too"
    elsewhere = f"{from_here}, 203.0.113.10" if proxies else told(1)
    status = by_form("tobias", X_Forwarded_For=elsewhere)[1].status_code
    assert status == (302 if proxies else 200), "only a proxy's word counts"


def test_whoever_serves_two_organisations_works_in_one_at_a_time(
    signed_in: SignIn, own_cache: None, inside: Any
) -> None:
    with inside("isolde") as viewer:
        asked = {"person": "perran@example.org", "role": "assessor", "yards": "all"}
        grants.issue_grant(viewer, asked, now=datetime.now(UTC))
    perran, quillet, larch = signed_in("perran"), str(cast.ref(cast.QUILLET)), "Larchgill"
    page = perran.get("/organisations/").content.decode()
    assert larch in page
    assert "Quillet Moor" in page
    assert "Teasel" not in perran.get("/horses/").content.decode()
    assert (
        perran.post("/organisations/", {"organisation": str(cast.ref("Teasel"))}).status_code == 422
    )
    assert perran.post("/organisations/", {"organisation": quillet}).status_code == 303
    there = perran.get("/horses/")
    assert "Teasel" in there.content.decode()
    assert f'data-organisation="{quillet}"' in there.content.decode(), "what binds a phone's store"
    assert "Gorse" not in there.content.decode()
    assert "no-store" in there.headers["Cache-Control"]
    assert perran.get("/people/").status_code == 403, "an assessor here, a coordinator there"
    horses = perran.get("/api/v1/horses/", headers={"Halfpoint-Organisation": quillet})
    assert {each["name"] for each in horses.json()["results"]} >= {"Teasel"}
    other = {"Halfpoint-Organisation": str(cast.ref("Larchgill Pony Sanctuary"))}
    assert perran.get("/api/v1/horses/", headers=other).status_code == 409


def test_a_shut_account_is_told_so(database: str, own_cache: None) -> None:
    User.objects.filter(id=cast.ref("maud")).update(is_active=False)
    client, answer = by_form("maud")
    assert answer.headers.get("Location") != "/"
    assert client.get("/").status_code == 302
