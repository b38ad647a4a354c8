"""The board's page: deep links, paging, empty boards, kept views."""

import html
import random
import re
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from typing import Any
from urllib.parse import parse_qsl, urlsplit

import pytest
from django.test import Client

from scoring.models import BoardView, Standing
from tests import cast, factories
from tests.api.asking import Asker
from tests.conftest import as_somebody
from tests.doors.scene import assessment
from tests.queries import board_herds
from yards.models import Entry, Horse

SignIn = Callable[[str], Client]
LONGEST = "The Long Meadow behind the Old Mill beside the River at Ewe"


def text(client: Client, path: str, status: int = 200) -> str:
    answer = client.get(path)
    assert answer.status_code == status
    return html.unescape(answer.content.decode())


def horses_on(page: str) -> list[str]:
    return re.findall(r'<tr role="row" class="r" data-horse="([0-9a-f-]+)"', page)


def link(page: str, words: str) -> str:
    """The address that a link of these words has."""
    [found] = re.findall(rf'href="([^"]*)"[^>]*>{re.escape(words)}<', page)
    return str(found)


def two_hundred() -> None:
    with as_somebody("isolde") as viewer:
        board_herds.herd(viewer, 200, datetime.now(UTC))


of_two_hundred = pytest.mark.built(by=two_hundred)


@of_two_hundred
def test_paging_by_the_links_alone_shows_every_horse_once(signed_in: SignIn, inside: Any) -> None:
    client, seen, path, pages = signed_in("isolde"), [], "/", 0
    while path:
        page = text(client, path)
        seen += horses_on(page)
        pages += 1
        following = re.findall(r'href="([^"]*)" rel="next"', page)
        path = f"/{following[0]}" if following else ""
    with inside("isolde"):
        here = Horse.objects.filter(status="present").values_list("ref", flat=True)
        expected = {str(ref) for ref in here}
    assert pages == 4
    assert len(seen) == len(set(seen)) == len(expected)
    assert set(seen) == expected
    back = re.findall(r'href="([^"]*)" rel="prev"', page)
    assert horses_on(text(client, f"/{back[0]}")) == seen[120:180]


@of_two_hundred
def test_the_groups_are_in_the_order_of_work_and_counted_over_all_pages(signed_in: SignIn) -> None:
    page = text(signed_in("isolde"), "/")
    titles = [
        *("Call the vet", "Decide", "Assess today", "On a care plan or being watched"),
        "Nothing to do today",
    ]
    counted = re.findall(r"<b>(\d+)</b> <span>([^<]+)</span>", page)
    assert [title for _, title in counted] == titles
    total = sum(int(count) for count, _ in counted)
    assert f"of {total} horses need something today" in page
    heads = re.findall(r"<h2>([^<]+)</h2>", page)
    assert heads == [title for title in titles if title in heads]


@of_two_hundred
def test_every_link_of_a_narrowed_board_keeps_its_filters(signed_in: SignIn) -> None:
    client = signed_in("isolde")
    asked = {"trend": "falling", "due": "due", "search": "bramble"}
    page = text(client, "/?trend=falling&due=due&search=bramble")
    for address in re.findall(r'<nav class="(?:yards|work)".*?</nav>', page, re.DOTALL):
        for found in re.findall(r'href="([^"]*)"', address):
            kept = dict(parse_qsl(urlsplit(found).query))
            assert asked.items() <= kept.items()
    assert dict(parse_qsl(urlsplit(link(page, "Wall view")).query)) == asked
    assert "Trend: Losing" in page
    assert "Due: Due or overdue" in page
    assert "Search: bramble" in page
    # A yard is chosen from there, and then one filter is taken off again.
    yard = link(page, '<span dir="auto">Top Barn')
    narrowed = text(client, f"/{yard}")
    off = re.findall(r'Search: bramble</span> <a class="noprint" href="([^"]*)"', narrowed)
    assert dict(parse_qsl(urlsplit(off[0]).query)) == {
        "yard": str(cast.ref("Top Barn")),
        "trend": "falling",
        "due": "due",
    }


def test_values_that_are_none_of_ours_are_not_found(signed_in: SignIn) -> None:
    client = signed_in("isolde")
    for query in ("use=racing", "assessor=1", "after=decide.1", f"yard={cast.ref('nowhere')}"):
        assert client.get(f"/?{query}").status_code == 404
        assert client.get(f"/wall/?{query}").status_code == (200 if "after" in query else 404)


def test_a_search_says_who_was_found_and_an_empty_one_how_to_go_on(
    signed_in: SignIn, inside: Any
) -> None:
    client = signed_in("isolde")
    one = text(client, "/?search=TEASÉL")
    assert len(horses_on(one)) == 1
    assert "The one horse shown needs something today" in one
    later = datetime.now(UTC) + timedelta(days=30)
    with inside("isolde"):
        Standing.objects.update(score_due_at=later, weight_due_at=later, check_due_at=None)
    assert "The one horse shown needs nothing today" in text(client, "/?search=TEASÉL")
    assert "None of the 2 horses shown needs anything today" in text(client, "/?search=ta")
    page = text(client, "/?search=nobody+of+that+name")
    assert "No horse is like this today" in page
    assert horses_on(text(client, f"/{link(page, 'Remove all filters')}"))


def test_an_empty_yard_and_an_empty_house_are_told_apart(signed_in: SignIn, inside: Any) -> None:
    with inside("isolde"):
        Horse.objects.filter(yard__ref=cast.ref("Top Barn")).update(status="away")
    client = signed_in("isolde")
    page = text(client, f"/?yard={cast.ref('Top Barn')}")
    assert "No horses in this part" in page
    assert horses_on(text(client, f"/{link(page, 'Show all horses')}"))
    with inside("isolde"):
        Horse.objects.update(status="away")
    assert "No horses here yet" in text(client, "/")
    assert "No horses here yet" in text(client, "/wall/")


def test_long_names_and_names_from_right_to_left_stand_for_themselves(
    signed_in: SignIn, inside: Any
) -> None:
    with inside("isolde") as viewer:
        made: Any = factories
        yard = made.YardFactory(organisation_id=viewer.organisation, name=LONGEST)
        for name in ("פשוש", "B" * 120):
            horse = made.HorseFactory(organisation_id=viewer.organisation, yard=yard, name=name)
            board_herds.standings(viewer, [horse], [], datetime.now(UTC), random.Random(1))
    page = text(signed_in("isolde"), f"/?yard={yard.ref}")
    assert re.search(r'<b dir="auto"><a [^>]*>פשוש</a>', page)
    assert "B" * 120 in page
    assert "No score" in page
    assert "Not scored in 12 months" in page


def test_more_yards_than_fit_are_a_list_to_pick_from(signed_in: SignIn, inside: Any) -> None:
    with inside("isolde") as viewer:
        for _ in range(5):
            made: Any = factories.YardFactory(organisation_id=viewer.organisation)  # type: ignore[no-untyped-call]
    page = text(signed_in("isolde"), f"/?yard={made.ref}")
    assert '<nav class="yards"' not in page
    assert re.search(rf'<option value="{made.ref}" selected>[^<]+ \(0\)</option>', page)
    assert ">Top Barn (2)</option>" in page


def test_whose_hand_was_last_is_offered_only_where_the_reader_looks(
    signed_in: SignIn, inside: Any
) -> None:
    for horse, key in (("Teasel", "tobias"), ("Marram", "isolde")):
        sent = assessment(str(cast.ref(horse)))
        assert Asker(key).post("assessments/", sent).status_code == 201
    assert ">Isolde Kerr</option>" in text(signed_in("isolde"), "/")
    page = text(signed_in("maud"), "/")
    assert ">Tobias Wren</option>" in page
    assert ">Isolde Kerr</option>" not in page


def test_a_view_is_kept_used_and_removed_by_its_keeper_alone(
    signed_in: SignIn, inside: Any
) -> None:
    isolde = signed_in("isolde")
    kept = isolde.post("/views/", {"name": " Thin and late ", "place": "below", "due": "overdue"})
    assert (kept.status_code, kept["Location"]) == (303, "/?place=below&due=overdue")
    page = text(isolde, "/")
    assert link(page, "Thin and late") == "?place=below&due=overdue"
    for key in ("tobias", "keziah", "perran"):
        assert "Thin and late" not in text(signed_in(key), "/")
    with inside("isolde"):
        view = BoardView.objects.get()
        assert view.name == "Thin and late"
    for key in ("tobias", "perran"):
        assert signed_in(key).post(f"/views/{view.ref}/remove/").status_code == 404
    assert isolde.post(f"/views/{view.ref}/remove/").status_code == 303
    assert "Thin and late" not in text(isolde, "/")
    assert isolde.post(f"/views/{view.ref}/remove/").status_code == 404
    with inside("isolde"):
        verbs = Entry.objects.filter(target_ref=view.ref).order_by("id")
        assert [each.verb for each in verbs] == ["board_view.kept", "board_view.removed"]


def test_a_view_of_the_same_name_makes_way(signed_in: SignIn, inside: Any) -> None:
    client = signed_in("isolde")
    for place in ("below", "above"):
        client.post("/views/", {"name": "Watch", "place": place})
    assert link(text(client, "/"), "Watch") == "?place=above"
    with inside("isolde"):
        assert BoardView.objects.filter(removed_at=None).count() == 1


def test_a_view_without_a_name_or_of_nothing_of_ours_is_not_kept(
    signed_in: SignIn, inside: Any
) -> None:
    client = signed_in("isolde")
    assert client.post("/views/", {"name": " ", "place": "below"}).status_code == 422
    assert client.post("/views/", {"name": "x" * 61, "place": "below"}).status_code == 422
    assert client.post("/views/", {"name": "Odd", "place": "nowhere"}).status_code == 404
    with inside("isolde"):
        assert not BoardView.objects.exists()


@of_two_hundred
def test_what_changed_since_a_list_was_begun_is_said_on_its_next_page(
    signed_in: SignIn, inside: Any
) -> None:
    client = signed_in("isolde")
    first = text(client, "/")
    [following] = re.findall(r'href="([^"]*)" rel="next"', first)
    assert "since you began this list" not in text(client, f"/{following}")
    with inside("isolde"):
        Standing.objects.filter(horse__ref=horses_on(first)[0]).update(updated_at=datetime.now(UTC))
    page = text(client, f"/{following}")
    assert re.search(r"1 horse has changed since you began this list at \d\d:\d\d", page)
    assert link(page, "Begin again") == "?"
    with inside("isolde"):
        at = dict(parse_qsl(following.lstrip("?")))["after"].partition(".")[2]
        Horse.objects.filter(ref=at).update(status="away")
    assert horses_on(text(client, f"/{following}"))
