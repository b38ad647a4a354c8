"""Issuing, revoking and confirming grants."""

from collections.abc import Callable
from contextlib import AbstractContextManager
from datetime import timedelta
from typing import Any

import pytest

from tests import cast, factories
from tests.actions.record import NOW, entries, racing, refused
from yards.access import viewers
from yards.actions import grants as actions
from yards.models import Entry, Grant, GrantYard, User
from yards.queries import people
from yards.rules import errors
from yards.rules.roles import Role, Viewer

Inside = Callable[..., AbstractContextManager[Viewer]]
NEW = cast.ref("new grant")
DAY = timedelta(days=1)
UNKNOWN_PERSON = (errors.Invalid, [("person", "unknown_reference")])


def body(**other: Any) -> dict[str, Any]:
    return {
        "id": str(NEW),
        "person": "Jory.Penn@example.org",
        "name": "Jory Penn",
        "role": "assessor",
        "yards": [str(cast.ref("Top Barn"))],
        "reason": "Summer help",
        **other,
    }


def vet(person: str, **other: Any) -> dict[str, Any]:
    return body(person=person, role="vet", registration_number="7009", register="invented", **other)


def test_a_grant_by_email_makes_a_person_without_a_password(inside: Inside) -> None:
    with inside("isolde") as viewer:
        made = actions.issue_grant(viewer, body(), now=NOW)
        card = people.get_grant(viewer, made.ref)
        ((verb, actor, at, said),) = entries(NEW)
    person = User.objects.get(email="jory.penn@example.org")
    assert not person.has_usable_password()
    assert (card.person.name, card.role, card.yards) == (
        "Jory Penn",
        "assessor",
        (cast.ref("Top Barn"),),
    )
    assert (card.from_at, card.until_at, card.state(NOW)) == (NOW, None, "in_force")
    assert card.issued_by is not None
    assert card.issued_by.name == "Isolde Kerr"
    assert (verb, actor, at) == ("grant.issued", f"person:{cast.ref('isolde')}", NOW)
    assert (said["email"], said["role"]) == ("jory.penn@example.org", "assessor")


def test_the_person_may_enter_and_see_what_the_grant_names(inside: Inside) -> None:
    horse = str(cast.ref("Marram"))
    with inside("isolde") as viewer:
        actions.issue_grant(viewer, body(horses=[horse]), now=NOW)
    person = User.objects.get(email="jory.penn@example.org")
    entered = viewers.viewer_of_person(person.id, NOW)
    assert entered.role is Role.ASSESSOR
    assert entered.yards is not None
    assert (len(entered.yards), len(entered.horses)) == (1, 1)


def test_a_known_person_is_named_by_id_and_a_stranger_is_unknown(inside: Inside) -> None:
    """Perran exists, in another organisation: here no id of his is told from one of nobody."""
    with inside("isolde") as viewer:
        raw = {key: value for key, value in body().items() if key != "name"}
        tobias = {**raw, "person": str(cast.ref("tobias"))}
        assert not actions.issue_grant(viewer, tobias, now=NOW).replay
        for name in ("perran", "nobody at all"):
            stranger = {**raw, "id": None, "person": str(cast.ref(name))}
            answer = refused(lambda: actions.issue_grant(viewer, stranger, now=NOW))  # noqa: B023
            assert answer == UNKNOWN_PERSON


def test_somebody_known_elsewhere_is_let_in_by_email_unchanged(inside: Inside) -> None:
    with inside("isolde") as viewer:
        raw = body(person="perran@example.org", name="Somebody Else")
        actions.issue_grant(viewer, raw, now=NOW)
    perran = User.objects.get(email="perran@example.org")
    assert (perran.id, perran.name) == (cast.ref("perran"), "Perran Holt")
    assert perran.check_password(cast.PASSWORD)
    assert {each.name for each in viewers.memberships(perran.id, NOW)} == set(cast.ORGANISATIONS)


def test_a_replay_and_a_clash(inside: Inside) -> None:
    clash = (errors.Conflict, [("id", "same_id_other_content")])
    with inside("isolde") as viewer:
        first = actions.issue_grant(viewer, body(), now=NOW)
        again = actions.issue_grant(viewer, body(), now=NOW + DAY)
        assert (again.replay, again.receipt) == (True, first.receipt)
        other = body(reason="Other")
        assert refused(lambda: actions.issue_grant(viewer, other, now=NOW)) == clash
        assert Grant.objects.filter(ref=NEW).count() == 1
        assert GrantYard.objects.filter(grant__ref=NEW).count() == 1
        assert len(entries(NEW)) == 1


def test_one_id_from_eight_threads_is_one_grant_and_one_person(inside: Inside) -> None:
    made = racing("isolde", lambda viewer: actions.issue_grant(viewer, body(), now=NOW))
    assert sorted(each.replay for each in made) == [False] + [True] * 7
    assert User.objects.filter(email="jory.penn@example.org").count() == 1
    with inside("isolde"):
        assert Grant.objects.filter(ref=NEW).count() == 1
        assert GrantYard.objects.filter(grant__ref=NEW).count() == 1


@pytest.mark.parametrize(
    ("field", "name"),
    [("yards", "Larchgill Yard"), ("yards", "nowhere"), ("horses", "Gorse"), ("horses", "none")],
)
def test_yards_and_horses_elsewhere_are_unknown(inside: Inside, field: str, name: str) -> None:
    with inside("isolde") as viewer:
        raw = body(**{field: [str(cast.ref("Teasel" if field == "horses" else "Top Barn"))]})
        raw[field].append(str(cast.ref(name)))
        answer = refused(lambda: actions.issue_grant(viewer, raw, now=NOW))
        assert answer == (errors.Invalid, [(field, "unknown_reference")])
        assert Entry.objects.count() == 0


def test_what_cannot_be_granted_is_refused_by_field(inside: Inside) -> None:
    cases = [
        (body(person="not@anything"), [("person", "not_an_email")]),
        (body(role="coordinator"), [("yards", "coordinator_has_all_yards")]),
        (body(until=(NOW - DAY).isoformat()), [("until", "ends_before_it_begins")]),
        (body(role="vet"), [("registration_number", "required"), ("register", "required")]),
        (body(person=None), [("person", "required"), ("name", "unknown_field")]),
    ]
    with inside("isolde") as viewer:
        for raw, faults in cases:
            answer = refused(lambda: actions.issue_grant(viewer, raw, now=NOW))  # noqa: B023
            assert answer == (errors.Invalid, faults)
    assert not User.objects.filter(name="Jory Penn").exists()


def test_a_vet_s_grant_is_not_issued_by_its_holder(inside: Inside) -> None:
    with inside("isolde") as viewer:
        own = vet("isolde@example.org")
        answer = refused(lambda: actions.issue_grant(viewer, own, now=NOW))
        assert answer == (errors.Invalid, [("person", "vet_grant_by_another")])


def test_a_vet_s_grant_opens_nothing_before_the_vet_confirms_it(inside: Inside) -> None:
    with inside("isolde") as viewer:
        actions.issue_grant(viewer, vet("vera@example.org", yards="all"), now=NOW)
        assert people.get_grant(viewer, NEW).state(NOW) == "unconfirmed"
    vera = User.objects.get(email="vera@example.org")
    assert refused(lambda: viewers.viewer_of_person(vera.id, NOW))[0] is errors.NotSignedIn
    assert actions.confirm_vet_grants(vera.id, NOW + DAY) == [NEW]
    assert viewers.viewer_of_person(vera.id, NOW + DAY).role is Role.VET
    with inside("isolde") as viewer:
        card = people.get_grant(viewer, NEW)
        verb, actor, at, said = entries(NEW)[-1]
    assert (card.confirmed_at, card.state(NOW + DAY)) == (NOW + DAY, "in_force")
    assert (verb, actor, at) == ("grant.confirmed", f"person:{vera.id}", NOW + DAY)
    assert said == {"register": "invented", "registration_number": "7009"}
    assert actions.confirm_vet_grants(vera.id, NOW + 2 * DAY) == []


def test_a_sign_in_confirms_one_s_own_waiting_vet_grants_in_every_organisation(
    inside: Inside,
) -> None:
    for key in ("isolde", "perran"):
        with inside(key) as viewer:
            raw = vet("vera@example.org", yards="all")
            actions.issue_grant(viewer, {**raw, "id": str(cast.ref(key))}, now=NOW)
            other = vet("other@example.org", yards="all")
            actions.issue_grant(viewer, {**other, "id": None}, now=NOW)
            late = vet("vera@example.org", yards="all", reason="Revoked")
            actions.issue_grant(viewer, {**late, "id": str(NEW)}, now=NOW)
            actions.revoke_grant(viewer, NEW, {"reason": "By mistake"}, now=NOW)
    vera = User.objects.get(email="vera@example.org")
    confirmed = actions.confirm_vet_grants(vera.id, NOW)
    assert set(confirmed) == {cast.ref("isolde"), cast.ref("perran")}
    assert len(viewers.memberships(vera.id, NOW)) == 2
    other_vet = User.objects.get(email="other@example.org")
    assert viewers.memberships(other_vet.id, NOW) == []


def test_a_disabled_person_confirms_nothing(inside: Inside) -> None:
    with inside("isolde") as viewer:
        actions.issue_grant(viewer, vet("vera@example.org", yards="all"), now=NOW)
    vera = User.objects.get(email="vera@example.org")
    User.objects.filter(id=vera.id).update(is_active=False)
    assert actions.confirm_vet_grants(vera.id, NOW) == []


def test_a_revoked_grant_ends_at_once_and_once(inside: Inside) -> None:
    maud = cast.ref("grant of maud")
    with inside("isolde") as viewer:
        first = actions.revoke_grant(viewer, maud, {"reason": "Left us"}, now=NOW)
        again = actions.revoke_grant(viewer, maud, {"reason": "Left us"}, now=NOW + DAY)
        card = people.get_grant(viewer, maud)
        ((verb, _, at, said),) = entries(maud)
    assert (again.replay, again.receipt) == (True, first.receipt)
    assert (card.revoked_at, card.state(NOW)) == (NOW, "revoked")
    assert (verb, at, said["reason"]) == ("grant.revoked", NOW, "Left us")
    assert refused(lambda: viewers.viewer_of_token(cast.token("maud"), NOW))[0] is (
        errors.NotSignedIn
    )


def test_a_revocation_says_why(inside: Inside) -> None:
    with inside("isolde") as viewer:
        maud = cast.ref("grant of maud")
        answer = refused(lambda: actions.revoke_grant(viewer, maud, {}, now=NOW))
        assert answer == (errors.Invalid, [("reason", "required")])


def test_the_last_coordinator_stays(inside: Inside) -> None:
    own, why = cast.ref("grant of isolde"), {"reason": "Retired"}
    last = (errors.Conflict, [("", "last_coordinator")])
    with inside("isolde") as viewer:
        assert refused(lambda: actions.revoke_grant(viewer, own, why, now=NOW)) == last
        second = body(role="coordinator", yards="all")
        actions.issue_grant(viewer, {**second, "from": (NOW + DAY).isoformat()}, now=NOW)
        assert refused(lambda: actions.revoke_grant(viewer, own, why, now=NOW)) == last
        assert not actions.revoke_grant(viewer, own, why, now=NOW + DAY).replay


def test_two_coordinators_cannot_revoke_each_other_at_once(inside: Inside) -> None:
    with inside("isolde") as viewer:
        factories.GrantFactory.create(
            organisation_id=viewer.organisation,
            ref=NEW,
            person_id=cast.ref("tobias"),
            role="coordinator",
            all_yards=True,
        )
    both = [cast.ref("grant of isolde"), NEW]

    def revoke(viewer: Viewer) -> str:
        try:
            actions.revoke_grant(viewer, both.pop(), {"reason": "Rivalry"}, now=NOW)
        except errors.Conflict:
            return "kept"
        return "revoked"

    assert sorted(racing("isolde", revoke, threads=2)) == ["kept", "revoked"]


@pytest.mark.parametrize("name", ["isolde elsewhere", "grant of perran", "no such grant"])
def test_a_grant_elsewhere_is_not_there(inside: Inside, name: str) -> None:
    """Isolde's own grant in the other organisation passes the door's policy, never this one."""
    with inside("perran") as viewer:
        factories.GrantFactory.create(
            organisation_id=viewer.organisation,
            ref=cast.ref("isolde elsewhere"),
            person_id=cast.ref("isolde"),
            role="auditor",
            all_yards=True,
        )
    with inside("isolde") as viewer:
        for raw in ({"reason": "Mine"}, {}):
            answer = refused(lambda: actions.revoke_grant(viewer, cast.ref(name), raw, now=NOW))  # noqa: B023
            assert answer == (errors.NotFound, [])


@pytest.mark.parametrize("key", ["maud", "keziah", "hollis", "device"])
def test_only_a_coordinator_changes_people(inside: Inside, key: str) -> None:
    with inside(key) as viewer:
        issue = refused(lambda: actions.issue_grant(viewer, body(), now=NOW))
        own = cast.ref("grant of maud")
        revoke = refused(lambda: actions.revoke_grant(viewer, own, {}, now=NOW))
        assert issue[0] is revoke[0] is errors.NotAllowed
    assert not User.objects.filter(name="Jory Penn").exists()
