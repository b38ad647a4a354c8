"""Grants and tokens bite on the next call: expired, revoked, disabled, not yet begun."""

from collections.abc import Callable
from contextlib import AbstractContextManager
from datetime import datetime, timedelta

import pytest

from scoring.actions import hands
from tests import cast, factories
from yards.access import viewers
from yards.models import Grant, Token, User
from yards.rules import errors
from yards.rules.roles import Role, Viewer

Inside = Callable[..., AbstractContextManager[Viewer]]
NOW = cast.ENDS.replace(year=2026)
MOMENT = timedelta(microseconds=1)
MAUD = cast.ref("maud")


def enters(key: str = "maud", at: datetime = NOW) -> bool:
    """Return whether both doors let somebody in; they must agree."""
    by_token = token_enters(at, cast.token(key))
    try:
        viewers.viewer_of_person(cast.ref(key), at)
    except errors.NotSignedIn:
        assert not by_token
        return False
    assert by_token
    return True


def change_grant(inside: Inside, **values: object) -> None:
    with inside("isolde"):
        assert Grant.objects.filter(ref=cast.ref("grant of maud")).update(**values) == 1


def change_token(inside: Inside, **values: object) -> None:
    with inside("isolde"):
        assert Token.objects.filter(ref=cast.ref("token of maud")).update(**values) == 1


def token_enters(at: datetime = NOW, raw: str = cast.token("maud")) -> bool:
    try:
        viewers.viewer_of_token(raw, at)
    except errors.NotSignedIn:
        return False
    return True


def test_a_grant_holds_from_its_first_instant_until_before_its_last(inside: Inside) -> None:
    change_grant(inside, from_at=NOW, until_at=NOW + timedelta(hours=1))
    assert not enters(at=NOW - MOMENT)
    assert enters(at=NOW)
    assert enters(at=NOW + timedelta(hours=1) - MOMENT)
    assert not enters(at=NOW + timedelta(hours=1))


def test_a_grant_not_yet_begun_opens_nothing(inside: Inside) -> None:
    change_grant(inside, from_at=NOW + timedelta(days=1))
    assert not enters()
    assert viewers.memberships(MAUD, NOW) == []


def test_a_revoked_grant_opens_nothing(inside: Inside) -> None:
    assert enters()
    change_grant(inside, revoked_at=NOW)
    assert not enters()
    assert viewers.memberships(MAUD, NOW) == []


def test_a_disabled_person_does_not_enter(inside: Inside) -> None:
    assert enters()
    User.objects.filter(id=MAUD).update(is_active=False)
    assert not enters()


def test_a_token_ends_when_it_expires_and_when_it_is_revoked(inside: Inside) -> None:
    change_token(inside, expires_at=NOW + MOMENT)
    assert token_enters(NOW)
    assert not token_enters(NOW + MOMENT)
    change_token(inside, expires_at=cast.ENDS, revoked_at=NOW)
    assert not token_enters()


def test_a_token_goes_with_the_grant_of_its_person(inside: Inside) -> None:
    change_grant(inside, revoked_at=NOW)
    assert not token_enters()
    assert not token_enters(raw=cast.token("device"))


@pytest.mark.parametrize("raw", ["", "hp_", "hp_test_", "hp_test_maud ", "HP_TEST_MAUD", "é\x00"])
def test_no_other_text_is_a_token(database: str, raw: str) -> None:
    assert not token_enters(raw=raw)


def test_an_unconfirmed_vet_does_not_enter(inside: Inside) -> None:
    with inside("isolde"):
        Grant.objects.filter(ref=cast.ref("grant of keziah")).update(confirmed_at=None)
    assert not enters("keziah")


def test_a_person_acts_under_the_strongest_grant_in_force_and_its_scope_only(
    inside: Inside,
) -> None:
    """Maud assesses in two yards; for a day she also coordinates, which is everywhere."""
    with inside("isolde") as viewer:
        factories.GrantFactory.create(
            organisation_id=viewer.organisation,
            person_id=MAUD,
            role="coordinator",
            all_yards=True,
            from_at=NOW,
            until_at=NOW + timedelta(days=1),
        )
        factories.GrantFactory.create(
            organisation_id=viewer.organisation, person_id=MAUD, role="auditor", all_yards=True
        )
    during = viewers.viewer_of_person(MAUD, NOW)
    assert (during.role, during.yards) == (Role.COORDINATOR, None)
    assert during.expires_at == NOW + timedelta(days=1)
    after = viewers.viewer_of_person(MAUD, NOW + timedelta(days=1))
    assert after.role is Role.ASSESSOR
    assert after.yards is not None
    assert len(after.yards) == 2


def test_a_grant_in_one_organisation_opens_no_other(database: str) -> None:
    with pytest.raises(errors.NotSignedIn):
        viewers.viewer_of_person(MAUD, NOW, organisation=cast.ref(cast.LARCHGILL))
    assert [each.name for each in viewers.memberships(MAUD, NOW)] == [cast.QUILLET]


def test_a_barn_phone_writes_only_while_its_person_may(inside: Inside) -> None:
    """Maud's phone stays behind when she becomes an auditor: reading is all that she may then."""
    phone = cast.token("device")
    assert viewers.viewer_of_token(phone, NOW).role is Role.DEVICE
    change_grant(inside, role="auditor")
    assert not token_enters(raw=phone)
    assert viewers.viewer_of_token(cast.token("maud"), NOW).role is Role.AUDITOR
    change_grant(inside, role="coordinator", all_yards=True)
    assert viewers.viewer_of_token(phone, NOW).role is Role.DEVICE


def test_a_hand_is_of_the_kind_of_its_persons_role_here_and_now(inside: Inside) -> None:
    """Elsewhere Maud coordinates, and here she once was to be the vet: neither counts."""
    with inside("perran") as elsewhere:
        factories.GrantFactory.create(
            organisation_id=elsewhere.organisation,
            person_id=MAUD,
            role="coordinator",
            all_yards=True,
        )
    with inside("isolde") as viewer:
        past = {"until_at": NOW - timedelta(days=1)}
        for facts in ({"confirmed_at": None}, {"revoked_at": NOW - timedelta(days=1)}, past):
            factories.GrantFactory.create(
                organisation_id=viewer.organisation,
                person_id=MAUD,
                role="vet",
                all_yards=True,
                **facts,
            )
    with inside("device") as phone:
        assert hands.hand_of(phone, now=NOW).kind == "volunteer"


def test_every_refusal_at_the_door_is_the_same(inside: Inside) -> None:
    """What was wrong with a token is nobody's business."""
    said = set()
    change_token(inside, revoked_at=NOW)
    for raw in (cast.token("maud"), "hp_unknown"):
        with pytest.raises(errors.NotSignedIn) as refused:
            viewers.viewer_of_token(raw, NOW)
        said.add(str(refused.value))
    assert len(said) == 1
