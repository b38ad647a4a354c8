"""A new organisation, with the first person who may let others in."""

from collections.abc import Callable
from contextlib import AbstractContextManager
from typing import Any

import pytest
import uuid_utils.compat as uuid_utils
from django.db import IntegrityError, transaction

from tests import cast
from tests.actions.record import NOW, entries, refused
from yards import isolation
from yards.access import viewers
from yards.actions import organisations as actions
from yards.models import Organisation, User
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


def chosen(rule: str, version: int = 1) -> dict[str, Any]:
    return {"overall_rule": rule, "version": version}


def test_a_coordinator_chooses_which_overall_stands_first(inside: Inside) -> None:
    with inside("isolde") as viewer:
        assert people.me(viewer).overall_rule == "mean"
        changed = actions.change_organisation(viewer, chosen("pelvis_led"), now=NOW)
        assert (changed.ref, changed.version) == (viewer.organisation, 2)
        assert people.me(viewer).overall_rule == "pelvis_led"
        verb, actor, _, said = entries(viewer.organisation)[-1]
    assert (verb, actor) == ("organisation.changed", f"person:{cast.ref('isolde')}")
    assert said == {
        "before": {"overall_rule": "mean"},
        "after": {"overall_rule": "pelvis_led"},
    }
    with inside("perran") as viewer:
        assert people.me(viewer).overall_rule == "mean"


@pytest.mark.parametrize("key", ["maud", "tobias", "keziah", "hollis", "device"])
def test_nobody_else_chooses(inside: Inside, key: str) -> None:
    with inside(key) as viewer, pytest.raises(errors.NotAllowed):
        actions.change_organisation(viewer, chosen("pelvis_led"), now=NOW)


@pytest.mark.parametrize(
    ("raw", "field"),
    [
        (chosen("loudest"), "overall_rule"),
        ({"version": 1}, "overall_rule"),
        ({"overall_rule": "mean"}, "version"),
        ({**chosen("mean"), "name": "Ours"}, "name"),
    ],
)
def test_what_cannot_be_is_refused_by_name(inside: Inside, raw: Any, field: str) -> None:
    with inside("isolde") as viewer:
        with pytest.raises(errors.Invalid) as caught:
            actions.change_organisation(viewer, raw, now=NOW)
        assert people.me(viewer).overall_rule == "mean"
    assert [each.field for each in caught.value.errors] == [field]


def test_who_saw_it_before_another_changed_it_is_told(inside: Inside) -> None:
    with inside("isolde") as viewer:
        actions.change_organisation(viewer, chosen("pelvis_led"), now=NOW)
        with pytest.raises(errors.Conflict):
            actions.change_organisation(viewer, chosen("mean"), now=NOW)


def test_the_database_takes_no_rule_that_is_not_on_the_list(inside: Inside) -> None:
    with inside("isolde") as viewer:
        mine = Organisation.objects.filter(id=viewer.organisation)
        with pytest.raises(IntegrityError), transaction.atomic():
            mine.update(overall_rule="loudest")
        assert mine.update(overall_rule="pelvis_led") == 1
