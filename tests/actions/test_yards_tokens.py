"""Tokens: shown once, kept as a digest, ended at once."""

import hashlib
from collections.abc import Callable
from contextlib import AbstractContextManager
from datetime import timedelta
from typing import Any

import pytest

from tests import cast
from tests.actions.record import NOW, entries, payload_of, refused
from yards.access import viewers
from yards.actions import tokens as actions
from yards.models import Entry, Token
from yards.queries import people
from yards.queries.wording import say
from yards.rules import errors
from yards.rules.roles import Role, Viewer

Inside = Callable[..., AbstractContextManager[Viewer]]
DAY = timedelta(days=1)


def test_a_token_is_shown_once_and_kept_as_a_digest(inside: Inside) -> None:
    with inside("maud") as viewer:
        issued = actions.issue_token(viewer, {"label": "My notebook"}, now=NOW)
        row = Token.objects.get(ref=issued.ref)
        ((verb, actor, at, said),) = entries(issued.ref)
        body = bytes(Entry.objects.get(target_ref=issued.ref).body)
    assert issued.raw.startswith("hp_")
    assert len(issued.raw) == len("hp_") + 43
    assert bytes(row.digest) == hashlib.sha256(issued.raw.encode()).digest()
    assert (row.expires_at, issued.expires_at) == (NOW + 365 * DAY, NOW + 365 * DAY)
    assert (verb, actor, at) == ("token.issued", f"person:{cast.ref('maud')}", NOW)
    for secret in (issued.raw, row.digest.hex() if isinstance(row.digest, bytes) else ""):
        assert secret not in str(said)
        assert secret.encode() not in body
    entered = viewers.viewer_of_token(issued.raw, NOW)
    assert (entered.person, entered.role) == (cast.ref("maud"), Role.ASSESSOR)


def test_two_tokens_are_never_the_same(inside: Inside) -> None:
    with inside("maud") as viewer:
        raws = {actions.issue_token(viewer, {"label": "x"}, now=NOW).raw for _ in range(20)}
    assert len(raws) == 20


def test_a_device_token_is_for_anybody_here_and_may_only_append(inside: Inside) -> None:
    raw = {"person": str(cast.ref("maud")), "device": True, "label": "Barn phone"}
    with inside("isolde") as viewer:
        issued = actions.issue_token(viewer, raw, now=NOW)
        (card,) = [card for card in people.list_tokens(viewer).items if card.ref == issued.ref]
    assert (card.person.name, card.is_device, card.label) == ("Maud Pell", True, "Barn phone")
    assert viewers.viewer_of_token(issued.raw, NOW).role is Role.DEVICE


def test_a_device_is_issued_only_to_who_may_record(inside: Inside) -> None:
    """Hollis audits: a phone in that name could write what its person may only read."""
    with inside("isolde") as viewer:
        raw = {"person": str(cast.ref("hollis")), "device": True, "label": "Phone"}
        answer = refused(lambda: actions.issue_token(viewer, raw, now=NOW))
        assert answer == (errors.Invalid, [("person", "device_is_for_who_records")])
        assert Entry.objects.count() == 0
    assert "Name one who may" in say("device_is_for_who_records")


@pytest.mark.parametrize("person", ["maud", "keziah", "hollis"])
def test_nobody_makes_a_full_token_for_another(inside: Inside, person: str) -> None:
    """Else a coordinator could act as the vet."""
    with inside("isolde") as viewer:
        raw = {"person": str(cast.ref(person)), "label": "Theirs"}
        answer = refused(lambda: actions.issue_token(viewer, raw, now=NOW))
        assert answer == (errors.Invalid, [("person", "full_token_is_made_by_its_person")])
    with inside("tobias") as viewer:
        answer = refused(lambda: actions.issue_token(viewer, raw, now=NOW))
        assert answer[0] is errors.NotAllowed


@pytest.mark.parametrize("person", ["perran", "nobody at all"])
def test_a_person_elsewhere_is_unknown(inside: Inside, person: str) -> None:
    raw = {"person": str(cast.ref(person)), "device": True, "label": "Phone"}
    with inside("isolde") as viewer:
        answer = refused(lambda: actions.issue_token(viewer, raw, now=NOW))
        assert answer == (errors.Invalid, [("person", "unknown_reference")])
    with inside("maud") as viewer:
        answer = refused(lambda: actions.issue_token(viewer, raw, now=NOW))
        assert answer[0] is errors.NotAllowed


@pytest.mark.parametrize("key", ["hollis", "device"])
def test_an_auditor_and_a_device_make_none(inside: Inside, key: str) -> None:
    with inside(key) as viewer:
        answer = refused(lambda: actions.issue_token(viewer, {"label": "x"}, now=NOW))
        assert answer[0] is errors.NotAllowed


def test_the_server_s_own_command_may_hand_one_out(inside: Inside) -> None:
    from yards import isolation

    system = Viewer(organisation=cast.ref(cast.QUILLET), role=Role.SYSTEM, via="command")
    raw = {"person": str(cast.ref("hollis")), "label": "Audit"}
    with isolation.of(system):
        issued = actions.issue_token(system, raw, now=NOW)
    assert viewers.viewer_of_token(issued.raw, NOW).role is Role.AUDITOR


def test_what_cannot_be_issued_is_refused_by_field(inside: Inside) -> None:
    cases: list[tuple[dict[str, Any], tuple[str, str]]] = [
        ({}, ("label", "required")),
        ({"label": "x", "until": NOW.isoformat()}, ("until", "already_over")),
        ({"label": "x", "until": (NOW + 800 * DAY).isoformat()}, ("until", "too_far_ahead")),
        ({"label": "x", "raw": "hp_mine"}, ("raw", "unknown_field")),
    ]
    with inside("maud") as viewer:
        for raw, fault in cases:
            answer = refused(lambda: actions.issue_token(viewer, raw, now=NOW))  # noqa: B023
            assert answer == (errors.Invalid, [fault])
        assert Entry.objects.count() == 0


def test_a_revoked_token_ends_at_once_and_once(inside: Inside) -> None:
    own = cast.ref("token of maud")
    with inside("maud") as viewer:
        first = actions.revoke_token(viewer, own, now=NOW)
        again = actions.revoke_token(viewer, own, now=NOW + DAY)
        assert Token.objects.get(ref=own).revoked_at == NOW
        (entry,) = Entry.objects.filter(target_ref=own)
        assert (entry.verb, payload_of(entry)) == ("token.revoked", {})
    assert (again.replay, again.receipt) == (True, first.receipt)
    late = refused(lambda: viewers.viewer_of_token(cast.token("maud"), NOW))
    assert late[0] is errors.NotSignedIn


def test_a_coordinator_revokes_anybody_s_and_others_only_their_own(inside: Inside) -> None:
    with inside("tobias") as viewer:
        other = cast.ref("token of maud")
        answer = refused(lambda: actions.revoke_token(viewer, other, now=NOW))
        assert answer[0] is errors.NotAllowed
    with inside("isolde") as viewer:
        assert not actions.revoke_token(viewer, other, now=NOW).replay
        for name in ("token of perran", "no such token"):
            answer = refused(lambda: actions.revoke_token(viewer, cast.ref(name), now=NOW))  # noqa: B023
            assert answer == (errors.NotFound, [])


def test_a_phone_cannot_end_its_owner_s_tokens(inside: Inside) -> None:
    with inside("device") as viewer:
        own = cast.ref("token of maud")
        answer = refused(lambda: actions.revoke_token(viewer, own, now=NOW))
        assert answer[0] is errors.NotAllowed
