"""Coming in by invitation: sent, opened once, accepted by somebody new or known, or refused."""

import hashlib
import re
import time
from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.utils import translation
from django.utils.formats import date_format

from tests import cast, mailbox, signing
from tests.mailbox import Mailbox
from yards.access import viewers
from yards.actions import letters
from yards.models import Entry, Grant, Invitation, Letter, User
from yards.rules import errors

SignIn = Callable[[str], Client]
VET = {"registration_number": "7002002", "register": "invented register"}
PASSWORD = "seven wet ponies in a row"
LINK = re.compile(r"http://127\.0\.0\.1:8000(/invitations/([\w-]+)/)")
USED = "This link opens nothing"


@pytest.fixture
def post(own_cache: None) -> Iterator[Mailbox]:
    with mailbox.opened() as box:
        yield box


def send(post: Mailbox, *, later: timedelta = timedelta()) -> int:
    """What the worker does each second."""
    return letters.deliver_due(now=datetime.now(UTC) + later)


def link_in(post: Mailbox, email: str) -> str:
    """The address in the newest letter to somebody."""
    found = LINK.search(mailbox.text_of(post.to(email)[-1]))
    assert found is not None
    return found[1]


def invited(client: Client, post: Mailbox, email: str, **more: Any) -> str:
    """Invite somebody as an assessor and return the link that they get."""
    asked = {"email": email, "role": "assessor", "all_yards": "true", "hours": "72", **more}
    assert client.post("/people/invite/", asked).status_code == 303
    assert send(post) == 1
    return link_in(post, email)


def came_in(client: Client, link: str, **typed: str) -> Any:
    """Open a link and send what somebody new is asked."""
    assert client.get(link).headers["Location"] == "/invitations/"
    return client.post("/invitations/", {"name": "Jonty Farr", "password": PASSWORD, **typed})


def test_a_vet_is_invited_for_a_day_chooses_a_password_and_is_in(
    signed_in: SignIn, inside: Any, post: Mailbox
) -> None:
    isolde = signed_in("isolde")
    asked = {"email": "Vet@Example.org", **VET}
    assert isolde.post("/people/invite/vet/", asked).status_code == 303
    assert "Waiting to be sent" in isolde.get("/people/invitations/").content.decode()
    assert send(post) == 1
    assert not Letter.objects.exists(), "a letter that went leaves nothing behind"
    assert "opens until" in isolde.get("/people/invitations/").content.decode()
    [letter] = post.to("vet@example.org")
    assert letter["Subject"] == "Isolde Kerr invites you to Quillet Moor Horse Refuge"
    own, link = Client(), link_in(post, "vet@example.org")
    own.get(link)
    page = own.get("/invitations/").content.decode()
    for said in (
        "Quillet Moor Horse Refuge",
        "all yards",
        "7002002, invented register",
        "Visit on",
    ):
        assert said in page
    answer = came_in(own, link, name="Dr Ada Moss")
    assert (answer.status_code, answer.headers["Location"]) == (302, "/")
    assert ">Dr Ada Moss</a>, vet" in own.get("/").content.decode(), "confirmed by this sign-in"
    person = User.objects.get(email="vet@example.org")
    with inside("isolde") as viewer:
        row = Invitation.objects.get(organisation_id=viewer.organisation)
        grant = Grant.objects.get(organisation_id=viewer.organisation, person=person)
        assert (row.grant_id, row.accepted_by_id, row.digest) == (grant.id, person.id, None)
        assert (grant.issued_by_id, grant.role) == (cast.ref("isolde"), "vet")
        verbs = Entry.objects.order_by("id").values_list("verb", "actor")
        told = [(verb, actor.endswith(str(person.id))) for verb, actor in verbs][-4:]
    assert told == [
        ("invitation.made", False),
        ("grant.issued", False),
        ("invitation.accepted", True),
        ("grant.confirmed", True),
    ]
    assert "Accepted" in isolde.get("/people/invitations/").content.decode()
    again = Client()
    again.get(link)
    assert USED in again.get("/invitations/").content.decode()


def test_a_link_is_kept_as_a_digest_and_opens_nothing_once_it_is_over(
    signed_in: SignIn, inside: Any, post: Mailbox
) -> None:
    isolde = signed_in("isolde")
    link = invited(isolde, post, "jonty@example.org")
    token = link.split("/")[2]
    with inside("isolde") as viewer:
        row = Invitation.objects.get(organisation_id=viewer.organisation)
        assert bytes(row.digest or b"") == hashlib.sha256(token.encode()).digest()
        ref = row.ref
    with connection.cursor() as cursor:
        # Nothing of a link is seen without its token, whoever asks.
        cursor.execute("SELECT count(*) FROM yards_invitation")
        assert cursor.fetchone()[0] == 0

    def opens(address: str) -> int:
        own = Client()
        own.get(address)
        return own.get("/invitations/").status_code

    assert [opens(link), opens("/invitations/wrong/")] == [200, 404]
    assert isolde.post(f"/people/invitations/{ref}/send/").status_code == 303
    assert opens(link) == 404, "the link before opens nothing from then on"
    assert send(post) == 1
    newer = link_in(post, "jonty@example.org")
    assert [newer != link, opens(link), opens(newer)] == [True, 404, 200]
    with inside("isolde"):
        ends = datetime.now(UTC) - timedelta(seconds=1)
        Invitation.objects.filter(ref=ref).update(
            invited_at=ends - timedelta(hours=72), expires_at=ends
        )
    assert opens(newer) == 404
    assert "its link opens no more" in isolde.get("/people/invitations/").content.decode()
    assert isolde.post(f"/people/invitations/{ref}/send/").status_code == 303
    assert send(post) == 1
    third = link_in(post, "jonty@example.org")
    assert opens(third) == 200
    assert isolde.post(f"/people/invitations/{ref}/withdraw/").status_code == 303
    assert opens(third) == 404
    assert isolde.post(f"/people/invitations/{ref}/send/").status_code == 409
    assert send(post) == 0


def test_a_letter_survives_a_mail_server_that_refuses(signed_in: SignIn, post: Mailbox) -> None:
    post.answer = lambda _message: "451 Later"
    asked = {"email": "jonty@example.org", "role": "assessor", "all_yards": "true"}
    assert signed_in("isolde").post("/people/invite/", asked).status_code == 303
    assert send(post) == 0
    assert Letter.objects.get().attempts == 1
    post.answer = lambda _message: mailbox.HANG_UP
    assert send(post, later=timedelta(minutes=1)) == 0, "taken, but nobody said so"
    post.answer = mailbox.take
    assert send(post, later=timedelta(hours=1)) == 1
    first, second = post.to("jonty@example.org")
    assert first["Message-ID"] == second["Message-ID"]
    assert LINK.search(mailbox.text_of(first)) is not None
    assert mailbox.text_of(first) == mailbox.text_of(second), "and the same link"


def test_a_letter_is_in_the_language_of_whoever_reads_it_or_else_of_whoever_invites(
    signed_in: SignIn, post: Mailbox, settings: Any
) -> None:
    settings.LANGUAGES = [*settings.LANGUAGES, ("de", "Deutsch"), ("fr", "français")]
    User.objects.filter(id=cast.ref("perran")).update(language="fr")
    User.objects.filter(id=cast.ref("isolde")).update(language="de")
    isolde = signed_in("isolde")
    for email, language in (("perran@example.org", "fr"), ("jonty@example.org", "de")):
        invited(isolde, post, email)
        [letter] = post.to(email)
        assert letter["Content-Language"] == language
        with translation.override(language):
            day = date_format(datetime.now(UTC) + timedelta(hours=72), "l")
        assert day in mailbox.text_of(letter), "days are told in it too"
    Client().post("/accounts/password/forgotten/", {"email": "perran@example.org"})
    assert send(post) == 1
    assert post.to("perran@example.org")[-1]["Content-Language"] == "fr"


def test_somebody_new_is_told_what_is_wrong_and_loses_nothing(
    signed_in: SignIn, post: Mailbox
) -> None:
    link = invited(signed_in("isolde"), post, "jonty@example.org")
    own = Client()
    for typed, said in (
        ({"password": "short"}, "too short"),
        ({"password": "jonty@example.org"}, "too similar"),
        ({"name": " "}, "required"),
    ):
        answer = came_in(own, link, **typed)
        page = answer.content.decode()
        assert (answer.status_code, said in page) == (422, True), typed
        assert typed.get("name") or 'value="Jonty Farr"' in page
    assert not User.objects.filter(email="jonty@example.org").exists()


def test_somebody_known_signs_in_and_accepts_and_nobody_else_may(
    signed_in: SignIn, inside: Any, post: Mailbox
) -> None:
    """Perran serves another organisation already: two now, and nothing bleeds across."""
    link = invited(signed_in("isolde"), post, "perran@example.org")
    own = Client()
    own.get(link)
    page = own.get("/invitations/").content.decode()
    assert "Sign in with it, then accept" in page
    assert own.post("/invitations/", {"name": "X", "password": PASSWORD}).status_code == 200
    stranger = signed_in("tobias")
    stranger.get(link)
    assert "signed in by another address" in stranger.get("/invitations/").content.decode()
    assert stranger.post("/invitations/").status_code == 200
    with pytest.raises(errors.NotSignedIn):
        viewers.viewer_of_person(
            cast.ref("perran"), datetime.now(UTC), organisation=cast.ref(cast.QUILLET)
        )
    perran = signed_in("perran")
    perran.get(link)
    signing.gave_password(perran, time.time() - 3600)
    assert perran.get("/invitations/").headers["Location"].startswith("/accounts/reauthenticate/")
    signing.gave_password(perran, time.time())
    assert "Accept" in perran.get("/invitations/").content.decode()
    assert perran.post("/invitations/").status_code == 303
    assert "Quillet Moor Horse Refuge" in perran.get("/").content.decode()


def test_whoever_may_let_nobody_in_any_more_lets_nobody_in_by_a_link(
    signed_in: SignIn, inside: Any, post: Mailbox
) -> None:
    link = invited(signed_in("isolde"), post, "jonty@example.org")
    with inside("isolde") as viewer:
        mine = Grant.objects.filter(organisation_id=viewer.organisation, person=viewer.person)
        mine.update(revoked_at=datetime.now(UTC))
    answer = came_in(Client(), link)
    assert answer.status_code == 409
    assert "may not let people in any more" in answer.content.decode()
    assert not User.objects.filter(email="jonty@example.org").exists()


@pytest.mark.parametrize(
    ("changes", "field", "says"),
    [
        ({"email": "jonty"}, "email", "an email address"),
        ({"role": "vet"}, "registration_number", "cannot be left out"),
        (
            {"role": "vet", **VET, "email": "isolde@example.org"},
            "email",
            "Nobody grants themselves",
        ),
        ({"all_yards": "", "horses": str(cast.ref("Gorse"))}, "horses", "in your reach"),
        ({"until": "2020-01-01T09:00"}, "until", "after the beginning"),
    ],
)
def test_a_bad_invitation_keeps_what_was_typed_and_sends_nothing(
    signed_in: SignIn, changes: dict[str, str], field: str, says: str
) -> None:
    asked = {"email": "jonty@example.org", "role": "assessor", "all_yards": "true"}
    answer = signed_in("isolde").post("/people/invite/", {**asked, "reason": "July", **changes})
    page = answer.content.decode()
    assert answer.status_code == 422
    assert f'href="#{field}"' in page
    assert says in page
    assert 'value="July"' in page
    assert not Letter.objects.exists()
