"""The note on handling: written by whoever goes up to the animal, lost by nobody."""

from collections.abc import Callable
from contextlib import AbstractContextManager
from typing import Any
from uuid import UUID

import pytest
import uuid_utils.compat as uuid_utils

from scoring.models import Standing
from tests import cast
from tests.actions.record import NOW, entries, refused
from yards.actions import horses, merges, once
from yards.models import Horse
from yards.queries import horses as queries
from yards.rules import errors
from yards.rules.roles import Viewer

Inside = Callable[..., AbstractContextManager[Viewer]]
TEASEL = cast.ref("Teasel")
KICKS = "Kicks when the girth is done up.\nTwo people."


def noted(inside: Inside, by: str, **raw: Any) -> once.Changed:
    with inside(by) as viewer:
        return horses.change_horse(viewer, TEASEL, raw, now=NOW)


@pytest.mark.parametrize("caller", ["isolde", "maud", "tobias", "keziah"])
def test_whoever_records_may_write_it_and_it_is_entered(inside: Inside, caller: str) -> None:
    assert noted(inside, caller, handling=KICKS, version=1).version == 2
    with inside("hollis") as viewer:
        assert queries.get_horse(viewer, TEASEL).handling == KICKS
    with inside("isolde"):
        [(verb, actor, _, said)] = entries(TEASEL)
    assert (verb, actor) == ("horse.changed", f"person:{cast.ref(caller)}")
    assert said == {"before": {"handling": ""}, "after": {"handling": KICKS}}


@pytest.mark.parametrize("caller", ["hollis", "device"])
def test_others_may_not(inside: Inside, caller: str) -> None:
    found = refused(lambda: noted(inside, caller, handling=KICKS, version=1))
    assert found[0] is errors.NotAllowed


def test_beside_it_an_assessor_changes_nothing(inside: Inside) -> None:
    sent = {"handling": KICKS, "name": "Sorrel", "version": 1}
    assert refused(lambda: noted(inside, "maud", **sent))[0] is errors.NotAllowed
    assert noted(inside, "isolde", **sent).version == 2


def test_it_is_versioned_and_of_a_length_that_is_read(inside: Inside) -> None:
    noted(inside, "maud", handling=KICKS, version=1)
    found = refused(lambda: noted(inside, "tobias", handling="Gentle", version=1))
    assert found == (errors.Conflict, [("version", "stale_version")])
    found = refused(lambda: noted(inside, "maud", handling="x" * 501, version=2))
    assert found == (errors.Invalid, [("handling", "too_long")])
    assert noted(inside, "maud", handling=None, version=2).version == 3
    with inside("maud") as viewer:
        assert queries.get_horse(viewer, TEASEL).handling == ""


def test_it_judges_nothing_anew(inside: Inside) -> None:
    with inside("isolde"):
        before = Standing.objects.get(horse__ref=TEASEL).updated_at
    noted(inside, "maud", handling=KICKS, version=1)
    with inside("isolde"):
        assert Standing.objects.get(horse__ref=TEASEL).updated_at == before


def stray(viewer: Viewer, **facts: Any) -> once.Made:
    raw = {"name": "Bay by the gate", "yard": str(cast.ref("Top Barn")), "species": "horse"}
    return horses.register_horse(viewer, {**raw, "is_unknown": True, **facts}, now=NOW)


@pytest.mark.parametrize(
    ("known", "after"), [("", KICKS), ("Head-shy.", f"Head-shy.\n{KICKS}"), (KICKS, KICKS)]
)
def test_no_caution_is_lost_when_an_unknown_animal_is_identified(
    inside: Inside, known: str, after: str
) -> None:
    if known:
        noted(inside, "maud", handling=known, version=1)
    with inside("maud") as viewer:
        unknown = stray(viewer, handling=KICKS).ref
    with inside("isolde") as viewer:
        merges.merge_horse(viewer, unknown, {"into": str(TEASEL)}, now=NOW)
        assert Horse.objects.get(ref=TEASEL).handling == after
        said = entries(unknown)[-1][3]
    changed = {"before": {"handling": known}, "after": {"handling": after}}
    assert said.get("changed") == (None if after == known else changed)


def test_a_registration_from_before_there_was_a_note_is_still_a_replay(inside: Inside) -> None:
    ref = str(uuid_utils.uuid7())
    with inside("maud") as viewer:
        stray(viewer, id=ref)
        assert "handling" not in entries(UUID(ref))[0][3]
        assert stray(viewer, id=ref).replay
        assert stray(viewer, id=ref, handling="").replay
        clash = refused(lambda: stray(viewer, id=ref, handling=KICKS))
        assert clash == (errors.Conflict, [("id", "same_id_other_content")])
