"""An auditor's look is entered before anything is shown; nothing is shown if it cannot be."""

from collections.abc import Callable
from contextlib import AbstractContextManager

import psycopg
import pytest
from django.db import DatabaseError, connection

from tests import cast
from tests.conftest import viewer_of
from yards.actions import reading_room
from yards.models import Entry, Horse
from yards.queries import horses, ledger
from yards.rules import errors
from yards.rules.roles import Viewer

Inside = Callable[..., AbstractContextManager[Viewer]]
TEASEL = ("horse", cast.ref("Teasel"))


def looks(inside: Inside) -> list[ledger.EntryRow]:
    with inside("isolde", read_only=True) as viewer:
        return list(ledger.list_entries(viewer, verb="read").items)


def test_an_auditor_s_look_is_entered_and_the_audited_see_who_looked(inside: Inside) -> None:
    hollis = viewer_of("hollis")
    with reading_room.opened(hollis, reading="horses/get", target=TEASEL, at=cast.BEGAN):
        assert horses.get_horse(hollis, TEASEL[1]).name == "Teasel"
    (entry,) = looks(inside)
    assert (entry.actor_name, entry.verb, entry.at) == ("Hollis Brand", "read", cast.BEGAN)
    assert (entry.target_kind, entry.target_ref) == TEASEL
    assert entry.payload == {"reading": "horses/get"}


def test_a_look_that_finds_nothing_is_entered_all_the_same(inside: Inside) -> None:
    hollis, other = viewer_of("hollis"), ("horse", cast.ref("Gorse"))
    with (
        pytest.raises(errors.NotFound),
        reading_room.opened(hollis, reading="horses/get", target=other, at=cast.BEGAN),
    ):
        horses.get_horse(hollis, other[1])
    assert [entry.target_ref for entry in looks(inside)] == [other[1]]


def test_the_entry_is_committed_before_the_reading_begins(
    inside: Inside, environment: dict[str, str]
) -> None:
    hollis = viewer_of("hollis")
    with (
        reading_room.opened(hollis, reading="horses", target=("horse", None), at=cast.BEGAN),
        psycopg.connect(environment["DATABASE_URL"]) as other,
    ):
        here = [str(hollis.organisation)]
        other.execute("SELECT set_config('halfpoint.organisation', %s, true)", here)
        assert other.execute("SELECT verb FROM yards_entry").fetchall() == [("read",)]


def test_nothing_is_shown_if_the_look_cannot_be_entered(
    inside: Inside, environment: dict[str, str]
) -> None:
    """The owner takes the right to enter away, as a full disk or a lost grant would."""
    hollis, seen = viewer_of("hollis"), []
    with psycopg.connect(environment["DATABASE_OWNER_URL"]) as owner:
        owner.execute(f"REVOKE INSERT ON yards_entry FROM {connection.settings_dict['USER']}")

    def look() -> None:
        with reading_room.opened(hollis, reading="horses", target=TEASEL, at=cast.BEGAN):
            seen.append(horses.get_horse(hollis, TEASEL[1]))

    with pytest.raises(DatabaseError, match="permission denied"):
        look()
    assert seen == []


@pytest.mark.parametrize("key", ["isolde", "maud", "keziah"])
def test_others_look_without_an_entry(inside: Inside, key: str) -> None:
    viewer = viewer_of(key)
    with reading_room.opened(viewer, reading="horses/get", target=TEASEL, at=cast.BEGAN):
        assert horses.get_horse(viewer, TEASEL[1]).name == "Teasel"
    assert looks(inside) == []


@pytest.mark.parametrize("key", ["hollis", "isolde"])
def test_reading_can_write_nothing(database: str, key: str) -> None:
    viewer = viewer_of(key)
    with (
        reading_room.opened(viewer, reading="horses", target=TEASEL, at=cast.BEGAN),
        pytest.raises(DatabaseError, match="read-only transaction"),
    ):
        Horse.objects.filter(ref=TEASEL[1]).update(name="Changed")


def test_another_organisation_s_auditor_log_is_its_own(inside: Inside) -> None:
    hollis = viewer_of("hollis")
    with reading_room.opened(hollis, reading="horses", target=TEASEL, at=cast.BEGAN):
        pass
    with inside("perran"):
        assert Entry.objects.count() == 0
