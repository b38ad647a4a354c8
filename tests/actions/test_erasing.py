"""Erasing a person: let go at once, called by an alias, what was said of them gone, once."""

import hashlib
import json
from collections.abc import Callable
from contextlib import AbstractContextManager
from datetime import timedelta
from typing import Any

import pytest
from allauth.account.models import EmailAddress
from allauth.mfa.models import Authenticator
from allauth.usersessions.models import UserSession
from django.contrib.sessions.models import Session

from scoring.models import Absence, Assessor, BoardView, Notice
from scoring.queries import free_words
from scoring.queries import personal as copies
from tests import cast, factories, signing
from tests.actions.record import NOW, entries, payload_of, racing, refused
from tests.api.asking import Asker
from tests.conftest import as_somebody
from tests.doors.scene import ahead, assessment
from yards import audit
from yards.actions import emptying, erasing, grants, invitations
from yards.models import (
    Emptying,
    Entry,
    EntryPayload,
    Erasure,
    Grant,
    Invitation,
    Letter,
    Token,
    User,
)
from yards.queries import erasing as queries
from yards.queries import people, roster
from yards.rules import errors
from yards.rules.roles import Viewer

Inside = Callable[..., AbstractContextManager[Viewer]]
MAUD, KEZIAH = cast.ref("maud"), cast.ref("keziah")
SURE = {"reason": "Asked for it", "understood": True}
TEASEL = str(cast.ref("Teasel"))
DAY = timedelta(days=1)


def erased(key: str, by: str = "isolde") -> None:
    with as_somebody(by) as viewer:
        erasing.erase(viewer, cast.ref(key), SURE, now=NOW)


def names_here(by: str) -> set[str]:
    with as_somebody(by) as viewer:
        return {each.person.name for each in people.list_grants(viewer).items}


def also_at_larchgill(key: str) -> None:
    with as_somebody("perran") as viewer:
        factories.GrantFactory.create(
            organisation_id=viewer.organisation,
            person_id=cast.ref(key),
            role="assessor",
            all_yards=True,
        )


def a_little_of_everything(viewer: Viewer) -> None:
    """What waits for Maud, and what is called after her."""
    asked = {"email": "maud@example.org", "role": "auditor", "yards": "all", "reason": "As Maud"}
    invitations.invite(viewer, asked, now=NOW)
    factories.GrantFactory.create(
        organisation_id=viewer.organisation,
        person_id=MAUD,
        role="auditor",
        all_yards=True,
        from_at=NOW + 9 * DAY,
        reason="Comes back as Maud Pell",
    )
    BoardView.objects.create(
        organisation_id=viewer.organisation,
        ref=cast.ref("view"),
        person_id=MAUD,
        name="Maud Pell's",
        asked={"search": "Teasel"},
        created_at=NOW,
    )
    Notice.objects.create(
        organisation_id=viewer.organisation,
        ref=cast.ref("notice"),
        key="k",
        kind="alert",
        person_id=MAUD,
        due_at=NOW,
        created_at=NOW,
        message_id="<k>",
        last_error="550 maud@example.org",
    )


def test_nothing_lets_them_in_and_nothing_waits_for_them(inside: Inside) -> None:
    asker = Asker("maud")
    assert asker.post("assessments/", assessment(TEASEL)).status_code == 201
    assert asker.post("absences/", {"until": ahead(days=9), "reason": "Ill"}).status_code == 201
    with inside("isolde") as viewer:
        a_little_of_everything(viewer)
    erased("maud")
    assert asker.get("me/").status_code == 401
    assert signing.signed_in("maud").get("/").status_code == 403
    assert not Letter.objects.exists()
    with inside("isolde") as viewer:
        assert not queries.count_grants(viewer, MAUD, NOW)
        theirs = Grant.objects.filter(person_id=MAUD, organisation_id=viewer.organisation)
        assert set(theirs.values_list("reason", flat=True)) == {""}
        keys = Token.objects.filter(person_id=MAUD)
        assert {(each.label, each.revoked_at) for each in keys} == {("Erased person 1", NOW)}
        [away] = Absence.objects.filter(person_id=MAUD)
        assert (away.ended_at, away.reason) == (NOW, "")
        [view] = BoardView.objects.filter(person_id=MAUD)
        assert (view.name, view.asked, view.removed_at) == ("", {}, NOW)
        [notice] = Notice.objects.filter(person_id=MAUD)
        assert (notice.state, notice.due_at, notice.last_error) == ("called_off", None, "")
        [hand] = Assessor.objects.filter(person_id=MAUD)
        assert hand.name == "Erased person 1"
        [offered] = Invitation.objects.all()
        assert (offered.email, offered.revoked_at) == ("Erased person 1", NOW)
        assert offered.body == {"role": "auditor", "yards": "all"}


def test_entries_stay_with_their_leaves_and_what_they_said_of_them_is_gone(inside: Inside) -> None:
    Asker("maud").post("assessments/", assessment(TEASEL, note="Dull.\nmaud PELL saw it"))
    Asker("tobias").post("assessments/", assessment(TEASEL, note="Dull, says nobody"))
    with inside("isolde") as viewer:
        made = grants.issue_grant(
            viewer, {"person": str(MAUD), "role": "auditor", "yards": "all"}, now=NOW
        )
        before = {each.id: (bytes(each.body), bytes(each.leaf)) for each in Entry.objects.all()}
        known = queries.known(viewer, MAUD)
        going = set(queries.entries_of(viewer, known))
        [texts] = free_words.holding(viewer, known)
        assert (texts.table, texts.rows) == ("scoring_assessment", 1)
        assert texts.horses == ((cast.ref("Teasel"), "Teasel"),)
    erased("maud")
    with inside("isolde") as viewer:
        after = {each.id: (bytes(each.body), bytes(each.leaf)) for each in Entry.objects.all()}
        assert before.items() <= after.items()
        assert all(leaf == audit.leaf_of(body) for body, leaf in after.values())
        kept = set(EntryPayload.objects.values_list("entry_id", flat=True))
        assert set(after) - kept == going
        scored = Entry.objects.filter(verb="assessment.recorded").order_by("id")
        assert [each.id in kept for each in scored] == [False, True]
        assert Entry.objects.get(verb="grant.issued", target_ref=made.ref).id in going
        for each in EntryPayload.objects.select_related("entry"):
            sealed = hashlib.sha256(bytes(each.salt) + bytes(each.payload)).hexdigest()
            assert json.loads(bytes(each.entry.body))["payload_sha256"] == sealed
        own = Entry.objects.get(verb="person.erased")
        said = {
            "alias": "Erased person 1",
            "reason": "Asked for it",
            "emptied": len(going),
            "texts": 0,
        }
        assert (own.target_ref, payload_of(own)) == (MAUD, said)


def test_sent_twice_or_by_many_at_once_it_is_done_once(inside: Inside) -> None:
    made = racing("isolde", lambda at: erasing.erase(at, MAUD, SURE, now=NOW), threads=3)
    assert sorted(each.replay for each in made) == [False, True, True]
    assert len({(each.ref, each.receipt.entry) for each in made}) == 1
    erased("keziah")
    with inside("isolde") as viewer:
        listed = [each.alias for each in queries.list_erased(viewer)]
        assert listed == ["Erased person 2", "Erased person 1"]
        assert len(entries(MAUD)) == 1
        cards = {card.person.name: card for card in people.list_grants(viewer).items}
        vet = cards["Erased person 2"]
        assert (vet.registration_number, vet.register, vet.email) == ("–", "–", "")


def test_who_may_and_whom(inside: Inside) -> None:
    with inside("isolde") as viewer:

        def tried(person: Any, **said: Any) -> Any:
            return refused(lambda: erasing.erase(viewer, person, {**SURE, **said}, now=NOW))

        own = (errors.Conflict, [("", "erase_yourself")])
        assert tried(cast.ref("isolde")) == own
        assert tried(MAUD, reason="Maud Pell left")[1] == [("reason", "reason_names_them")]
        for unknown in (cast.ref("perran"), cast.ref("nobody")):
            assert tried(unknown) == (errors.NotFound, [])
    for key in ("maud", "tobias", "keziah", "hollis"):
        with inside(key) as viewer:
            answer = refused(lambda at=viewer: erasing.erase(at, MAUD, SURE, now=NOW))  # type: ignore[misc]
            assert answer == (errors.NotAllowed, []), key
    assert not Emptying.objects.exists()


def test_they_are_not_let_in_again_and_another_address_is_somebody_new(inside: Inside) -> None:
    also_at_larchgill("keziah")
    erased("keziah")
    assert emptying.settle_due(now=NOW) == 0
    with inside("isolde") as viewer:
        body = {"role": "assessor", "yards": "all"}
        for person, key in (
            (str(KEZIAH), "unknown_reference"),
            ("keziah@example.org", "erased_here"),
        ):
            again = refused(
                lambda who=person: grants.issue_grant(viewer, {**body, "person": who}, now=NOW)  # type: ignore[misc]
            )
            assert again == (errors.Invalid, [("person", key)])
        assert KEZIAH not in {each.id for each in roster.who_visits(viewer)}
        fresh = {**body, "person": "orme@example.org", "name": "Keziah Orme"}
        grants.issue_grant(viewer, fresh, now=NOW)
    assert {"Erased person 1", "Keziah Orme"} <= names_here("isolde")


def test_each_organisation_forgets_for_itself_and_the_last_empties_the_account(
    inside: Inside,
) -> None:
    also_at_larchgill("maud")
    client = signing.signed_in("maud")
    client.get("/")
    session = signing.session_of(client)
    UserSession.objects.create(user_id=MAUD, session_key=session, ip="127.0.0.1", user_agent="x")
    EmailAddress.objects.create(user_id=MAUD, email="maud@example.org", verified=True)
    Authenticator.objects.create(user_id=MAUD, type="totp", data={})
    Letter.objects.create(
        id=cast.ref("letter"),
        kind="told",
        email="maud@example.org",
        due_at=NOW + DAY,
        created_at=NOW,
    )
    erased("maud")
    with inside("isolde") as viewer:
        told = copies.get_held(viewer, MAUD).person
    assert emptying.settle_due(now=NOW) == 0
    assert not Emptying.objects.exists()
    assert client.get("/").status_code == 200
    assert "Maud Pell" not in names_here("isolde")
    assert "Maud Pell" in names_here("perran")
    assert User.objects.get(id=MAUD).email == "maud@example.org"
    erased("maud", by="perran")
    assert emptying.settle_due(now=NOW) == 1
    user = User.objects.get(id=MAUD)
    assert (user.name, user.email, user.is_active) == ("", f"erased:{MAUD}", False)
    assert not user.has_usable_password()
    assert client.get("/").status_code == 302
    for left in (EmailAddress, Authenticator, UserSession):
        assert not left.objects.filter(user_id=MAUD).exists(), left
    assert not Session.objects.filter(session_key=session).exists()
    assert not Letter.objects.exists()
    # Nothing of that is to be seen for whoever erased first.
    with inside("isolde") as viewer:
        assert (
            copies.get_held(viewer, MAUD).person == told == {"id": MAUD, "name": "Erased person 1"}
        )
        assert Erasure.objects.count() == 1


@pytest.mark.usefixtures("database")
def test_an_account_without_an_erasure_is_left_alone() -> None:
    emptying.ask(MAUD, now=NOW)
    assert emptying.settle_due(now=NOW - DAY) == 0
    assert emptying.settle_due(now=NOW) == 0
    assert User.objects.get(id=MAUD).is_active
    assert not Emptying.objects.exists()
