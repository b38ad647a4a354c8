"""A new organisation, with the first person who may let others in."""

from collections.abc import Callable
from contextlib import AbstractContextManager
from typing import Any

import uuid_utils.compat as uuid_utils

from tests import cast
from tests.actions.record import NOW, entries, refused
from yards import isolation
from yards.access import viewers
from yards.actions import organisations as actions
from yards.models import User
from yards.queries import people, yards
from yards.rules import errors
from yards.rules.roles import Role, Viewer

Inside = Callable[..., AbstractContextManager[Viewer]]
FACTS: dict[str, Any] = {
    "name": "Wrack Shore Rescue",
    "email": "Senara@example.org",
    "coordinator": "Senara Pole",
    "now": NOW,
}


def system() -> Viewer:
    return Viewer(organisation=uuid_utils.uuid7(), role=Role.SYSTEM, via="command")


def test_an_organisation_begins_with_its_coordinator_and_nothing_else(database: str) -> None:
    viewer = system()
    with isolation.of(viewer):
        made = actions.make_organisation(viewer, **FACTS, password=cast.PASSWORD)
        ((verb, actor, at, said),) = entries(made.organisation)
    assert (verb, actor, at, said["name"]) == (
        "organisation.made",
        "system",
        NOW,
        "Wrack Shore Rescue",
    )
    person = User.objects.get(email="senara@example.org")
    assert person.check_password(cast.PASSWORD)
    coordinator = viewers.viewer_of_person(person.id, NOW)
    assert (coordinator.organisation, coordinator.role) == (viewer.organisation, Role.COORDINATOR)
    with isolation.of(coordinator, read_only=True):
        assert people.me(coordinator).organisation_name == "Wrack Shore Rescue"
        assert [card.ref for card in people.list_grants(coordinator).items] == [made.grant]
        assert yards.list_yards(coordinator).items == ()


def test_somebody_known_keeps_name_and_password(database: str) -> None:
    viewer = system()
    with isolation.of(viewer):
        facts = {**FACTS, "email": "isolde@example.org"}
        actions.make_organisation(viewer, **facts, password="something-else-entirely")
    isolde = User.objects.get(email="isolde@example.org")
    assert (isolde.name, isolde.check_password(cast.PASSWORD)) == ("Isolde Kerr", True)
    assert len(viewers.memberships(isolde.id, NOW)) == 2


def test_nobody_signed_in_makes_one(inside: Inside) -> None:
    with inside("isolde") as viewer:
        answer = refused(lambda: actions.make_organisation(viewer, **FACTS))
        assert answer[0] is errors.NotAllowed


def test_what_is_missing_is_named(database: str) -> None:
    viewer = system()
    with isolation.of(viewer):
        facts = {**FACTS, "name": " ", "email": "senara"}
        answer = refused(lambda: actions.make_organisation(viewer, **facts))
    assert answer == (errors.Invalid, [("name", "required")])
