"""Lists of who and where: paging, filters, scope, and a query count that does not grow."""

from collections.abc import Callable
from contextlib import AbstractContextManager
from typing import Any

import pytest
import uuid_utils.compat as uuid_utils
from django.db import connection
from django.test.utils import CaptureQueriesContext

from tests import cast, factories
from yards import audit
from yards.models import Horse, HorseEvent, Organisation, User, Yard
from yards.queries import events, horses, ledger, paging, people, yards
from yards.rules import errors
from yards.rules.roles import Viewer

Inside = Callable[..., AbstractContextManager[Viewer]]
QUILLET = cast.ref(cast.QUILLET)


def more(viewer: Viewer, number: int) -> None:
    """Add rows of every listed kind to the open organisation."""
    yard = Yard.objects.get(ref=cast.ref("Top Barn"))
    teasel = Horse.objects.get(ref=cast.ref("Teasel"))
    for _ in range(number):
        factories.YardFactory.create(organisation_id=QUILLET)
        horse = factories.HorseFactory.create(organisation_id=QUILLET, yard=yard)
        person = User.objects.create_user(
            email=f"{uuid_utils.uuid7()}@example.org", name="Somebody", created_at=cast.BEGAN
        )
        grant = factories.GrantFactory.create(
            organisation_id=QUILLET, person=person, role="assessor", issued_by=person
        )
        factories.grant_yard(grant, yard.ref)
        factories.TokenFactory.create(
            organisation_id=QUILLET, person=person, label="Phone", raw=str(person.id)
        )
        HorseEvent.objects.create(
            organisation_id=QUILLET,
            ref=uuid_utils.uuid7(),
            horse=teasel,
            kind="clipped",
            at=cast.BEGAN,
            recorded_by=person,
            recorded_at=cast.BEGAN,
            content_digest=b"\x00" * 32,
        )
        audit.record(
            viewer, verb="test", target=("horse", horse.ref), payload={"n": 1}, at=cast.BEGAN
        )


LISTS: dict[str, Callable[[Viewer], paging.Page[Any]]] = {
    "yards": lambda viewer: yards.list_yards(viewer, size=100),
    "horses": lambda viewer: horses.list_horses(
        viewer, yard=cast.ref("Top Barn"), search="Horse", size=100
    ),
    "events": lambda viewer: events.list_events(viewer, cast.ref("Teasel"), size=100),
    "grants": lambda viewer: people.list_grants(viewer, size=100),
    "tokens": lambda viewer: people.list_tokens(viewer, size=100),
    "ledger": lambda viewer: ledger.list_entries(viewer, verb="test", size=100),
}


@pytest.mark.parametrize("name", LISTS)
def test_twenty_rows_cost_as_many_queries_as_ten(inside: Inside, name: str) -> None:
    def cost(viewer: Viewer) -> tuple[int, int]:
        with CaptureQueriesContext(
            connection,
        ) as captured:
            found = LISTS[name](viewer)
        return len(captured), len(found.items)

    with inside("isolde") as viewer:
        more(viewer, 10)
        ten, rows = cost(viewer)
        more(viewer, 10)
        twenty, later = cost(viewer)
    assert later == rows + 10
    assert twenty == ten


def walked(viewer: Viewer, size: int, way: str, start: str | None = None) -> list[list[str]]:
    pages, cursor = [], start
    while True:
        page = horses.list_horses(viewer, size=size, cursor=cursor)
        pages.append([card.name for card in page.items])
        cursor = getattr(page, way)
        if cursor is None:
            return pages


def test_pages_cover_the_list_once_newest_first_and_back_again(inside: Inside) -> None:
    with inside("isolde") as viewer:
        more(viewer, 5)
        whole = [card.name for card in horses.list_horses(viewer).items]
        forward = walked(viewer, 3, "next")
        assert [name for page in forward for name in page] == whole
        assert [len(page) for page in forward] == [3, 3, 3, 1]
        middle = horses.list_horses(viewer, size=3).next
        last = horses.list_horses(
            viewer, size=3, cursor=horses.list_horses(viewer, size=3, cursor=middle).next
        )
        back = walked(viewer, 3, "previous", last.previous)
        assert back == [forward[1], forward[0]]
        assert horses.list_horses(viewer, size=3).previous is None


def test_a_row_that_comes_meanwhile_moves_no_other_to_another_page(inside: Inside) -> None:
    with inside("isolde") as viewer:
        first = horses.list_horses(viewer, size=2)
        rest = horses.list_horses(viewer, size=9, cursor=first.next).items
        more(viewer, 3)
        assert horses.list_horses(viewer, size=9, cursor=first.next).items == rest


BROKEN = ["", "x", "!", "\x00", "é", "a" * 44, "=" * 8, "A" * 4000]


def test_a_broken_cursor_is_refused_as_malformed(inside: Inside) -> None:
    with inside("isolde") as viewer:
        good = horses.list_horses(viewer, size=2).next
        assert good is not None
        turned = good[:-1] + ("A" if good[-1] != "A" else "B")
        for cursor in [*BROKEN[1:], good[:-2], good + "AAAA", "n" + good[1:], turned[::-1]]:
            with pytest.raises(errors.Malformed) as refused:
                horses.list_horses(viewer, cursor=cursor)
            assert refused.value.errors[0].field == "cursor"
        assert horses.list_horses(viewer, cursor="").previous is None


def test_a_cursor_holds_for_one_list_of_one_organisation(inside: Inside) -> None:
    with inside("isolde") as viewer:
        cursor = horses.list_horses(viewer, size=2).next
        with pytest.raises(errors.Malformed):
            yards.list_yards(viewer, cursor=cursor)
        own = people.list_tokens(viewer, size=1).next
    with inside("perran") as viewer:
        for call in (
            lambda: horses.list_horses(viewer, cursor=cursor),
            lambda: people.list_tokens(viewer, cursor=own),
        ):
            with pytest.raises(errors.Malformed):
                call()


def test_a_cursor_of_a_wider_reader_shows_a_narrower_one_no_more(inside: Inside) -> None:
    with inside("isolde") as viewer:
        cursor = horses.list_horses(viewer, size=1).next
    with inside("maud") as viewer:
        shown = {card.name for card in horses.list_horses(viewer, cursor=cursor).items}
    assert shown
    assert "Marram" not in shown


def names(page: paging.Page[Any]) -> set[str]:
    return {card.name for card in page.items}


def test_readers_see_their_yards_and_nothing_of_others(inside: Inside) -> None:
    with inside("maud", read_only=True) as viewer:
        assert names(yards.list_yards(viewer)) == {"Top Barn", "Sallow Field"}
        assert names(horses.list_horses(viewer)) == {"Teasel", "Sorrel Lad", "Tansy", "Wagtail"}
        for ref in ("Marram", "Gorse", "nothing at all"):
            with pytest.raises(errors.NotFound):
                horses.get_horse(viewer, cast.ref(ref))
            with pytest.raises(errors.NotFound):
                events.list_events(viewer, cast.ref(ref))
        for ref in ("Nether Paddocks", "Larchgill Yard", "nothing at all"):
            with pytest.raises(errors.NotFound):
                yards.get_yard(viewer, cast.ref(ref))
            with pytest.raises(errors.Invalid) as refused:
                horses.list_horses(viewer, yard=cast.ref(ref))
            assert refused.value.errors == (errors.FieldError("yard", "unknown_reference"),)
    with inside("perran", read_only=True) as viewer:
        assert names(horses.list_horses(viewer)) == {"Gorse"}
        assert names(yards.list_yards(viewer)) == {"Larchgill Yard"}
        assert ledger.list_entries(viewer).items == ()


def test_filters_choose_by_yard_species_status_and_name(inside: Inside) -> None:
    with inside("isolde", read_only=True) as viewer:
        in_barn = horses.list_horses(viewer, yard=cast.ref("Top Barn"))
        assert names(in_barn) == {"Teasel", "Sorrel Lad"}
        assert names(horses.list_horses(viewer, species="donkey")) == {"Wagtail"}
        assert names(horses.list_horses(viewer, status="dead")) == set()
        assert names(horses.list_horses(viewer, status="present", search="tA")) == {"Tansy"}
        assert names(horses.list_horses(viewer, search="  teasel ")) == {"Teasel"}
        assert names(horses.list_horses(viewer, search="%")) == set()
        with pytest.raises(errors.Malformed):
            horses.list_horses(viewer, search="a\x00b")
        with pytest.raises(errors.Malformed):
            horses.list_horses(viewer, species="a\x00b")
        with pytest.raises(errors.Malformed):
            horses.list_horses(viewer, status="a\x00b")


def test_only_who_may_read_people_does(inside: Inside) -> None:
    for key in ("maud", "keziah", "hollis"):
        with inside(key, read_only=True) as viewer:
            for call in (people.list_grants, people.list_tokens):
                with pytest.raises(errors.NotAllowed):
                    call(viewer)
            with pytest.raises(errors.NotAllowed):
                people.get_grant(viewer, cast.ref("grant of maud"))


def test_a_grant_elsewhere_of_the_same_person_is_never_listed(inside: Inside) -> None:
    """The grant table lets a person's own grants in other organisations through."""
    with inside("perran") as viewer:
        factories.GrantFactory.create(
            organisation_id=viewer.organisation,
            ref=cast.ref("isolde elsewhere"),
            person_id=cast.ref("isolde"),
            role="auditor",
            all_yards=True,
        )
    with inside("isolde") as viewer:
        found = people.list_grants(viewer).items
        assert {card.person.name for card in found} == {
            "Isolde Kerr",
            "Maud Pell",
            "Tobias Wren",
            "Dr Keziah Orme",
            "Hollis Brand",
        }
        assert len(found) == 5
        with pytest.raises(errors.NotFound):
            people.get_grant(viewer, cast.ref("isolde elsewhere"))


def test_me_says_who_where_and_how_far(inside: Inside) -> None:
    with inside("maud", read_only=True) as viewer:
        me = people.me(viewer)
    assert me.person is not None
    assert (me.person.name, me.role, me.organisation_name) == (
        "Maud Pell",
        "assessor",
        cast.QUILLET,
    )
    assert me.yards == (cast.ref("Sallow Field"), cast.ref("Top Barn"))
    assert me.expires_at == cast.ENDS
    with inside("isolde", read_only=True) as viewer:
        assert people.me(viewer).yards is None


def test_a_device_reads_itself_and_nothing_more(inside: Inside) -> None:
    with inside("device", read_only=True) as viewer:
        assert people.me(viewer).role == "device"
        for call in (yards.list_yards, horses.list_horses, ledger.list_entries):
            with pytest.raises(errors.NotAllowed):
                call(viewer)
        with pytest.raises(errors.NotAllowed):
            horses.get_horse(viewer, cast.ref("Teasel"))


def test_an_auditor_of_one_yard_reads_the_entries_about_it_only(inside: Inside) -> None:
    from tests.conftest import viewer_of
    from yards import isolation

    with inside("isolde") as viewer:
        for name, kind in (("Teasel", "horse"), ("Marram", "horse"), ("Top Barn", "yard")):
            audit.record(
                viewer, verb="test", target=(kind, cast.ref(name)), payload={}, at=cast.BEGAN
            )
        audit.record(
            viewer, verb="test", target=("grant", cast.ref("x")), payload={}, at=cast.BEGAN
        )
        barn = Yard.objects.get(ref=cast.ref("Top Barn")).id
    hollis = viewer_of("hollis")
    narrow = Viewer(
        organisation=hollis.organisation,
        role=hollis.role,
        person=hollis.person,
        yards=frozenset({barn}),
    )
    with isolation.of(narrow, read_only=True):
        seen = {entry.target_ref for entry in ledger.list_entries(narrow).items}
    assert seen == {cast.ref("Teasel"), cast.ref("Top Barn")}
    with inside("hollis", read_only=True) as viewer:
        assert len(ledger.list_entries(viewer).items) == 4
        one = ledger.list_entries(viewer, target=cast.ref("Marram"))
        assert [entry.target_kind for entry in one.items] == ["horse"]


def test_answers_hold_no_surrogate_key(inside: Inside) -> None:
    """Surrogate keys are counted over all organisations, so one would tell of the others."""
    with inside("isolde") as viewer:
        more(viewer, 1)
        for listed in LISTS.values():
            for item in listed(viewer).items:
                for name in item.__slots__:
                    value = getattr(item, name)
                    allowed = name in {"version", "payload"} or isinstance(value, bool)
                    assert allowed or not isinstance(value, int), (item, name)
    assert Organisation.objects.count() == 0
