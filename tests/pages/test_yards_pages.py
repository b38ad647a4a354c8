"""Yards on pages: read with numbers to dial, added, changed."""

from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
import uuid_utils.compat as uuid_utils
from django.test import Client

from scoring.models import Timer
from tests import cast, signing
from tests.outside import EXACT, outside
from yards import isolation
from yards.actions import organisations
from yards.models import Entry, User, Yard
from yards.rules.roles import Role, Viewer

SignIn = Callable[[str], Client]
TOP_BARN = f"/yards/{cast.ref('Top Barn')}/"


def text(client: Client, path: str) -> str:
    return client.get(path).content.decode()


def settings(**changes: Any) -> dict[str, Any]:
    """The form of Top Barn's settings as it begins."""
    return {
        "version": "1",
        "name": "Top Barn",
        "time_zone": "Europe/London",
        "hemisphere": "north",
        "vet.practice": "Ferrow Vets",
        "vet.phone": "01632 960118",
        **changes,
    }


@outside(
    "meteorological spring of the north: 1 March to 31 May",
    source="Met Office, meteorological seasons",
    status=EXACT,
)
def test_everybody_reads_the_vets_numbers_and_dials_them(signed_in: SignIn) -> None:
    for caller in ("isolde", "maud", "keziah", "hollis"):
        page = text(signed_in(caller), "/yards/")
        assert 'href="tel:01632960118"' in page
        assert 'href="tel:01632960144"' in page
        assert "Europe/London" in page
        # The meteorological spring of the north, as the Met Office has it.
        assert "1 March to 31 May" in page
        assert (TOP_BARN in page) is (caller == "isolde")
    assert "Nether Paddocks" not in text(signed_in("maud"), "/yards/")


def test_a_coordinator_adds_a_yard_once(signed_in: SignIn, inside: Any) -> None:
    client, ref = signed_in("isolde"), str(uuid_utils.uuid7())
    sent = {
        "id": ref,
        "name": "Isolation Block",
        "time_zone": "Pacific/Auckland",
        "hemisphere": "south",
        "quiet_hours.from": "21:30",
        "quiet_hours.to": "06:00",
        "vet.second_phone": "01632 960171",
    }
    for _ in range(2):
        answer = client.post("/yards/add/", sent)
        assert (answer.status_code, answer.headers["Location"]) == (303, f"/yards/#yard-{ref}")
    page = text(client, "/yards/")
    for said in ("Isolation Block", "21:30 to 06:00", "1 September to 30 November"):
        assert said in page
    with inside("isolde"):
        assert Yard.objects.filter(name="Isolation Block").count() == 1
        assert Entry.objects.filter(verb="yard.made").count() == 1


def test_the_form_begins_with_what_stands_and_saves_every_setting(
    signed_in: SignIn, inside: Any
) -> None:
    client = signed_in("isolde")
    page = text(client, TOP_BARN)
    for stands in ("Top Barn", "Ferrow Vets", "01632 960118", "01632 960144", "01632 960171"):
        assert f'value="{stands}"' in page
    assert '<option value="Europe/London" selected>' in page
    assert 'name="version" value="1"' in page
    changed = {
        "name": "High Barn",
        "time_zone": "Europe/Dublin",
        "spring.first": "02-15",
        "spring.last": "06-10",
        "vet.practice": "Brackwell Vets",
        "vet.phone": "01632 960171",
        "vet.out_of_hours_phone": "01632 960172",
        "quiet_hours.from": "22:00",
        "quiet_hours.to": "05:30",
    }
    assert client.post(TOP_BARN, settings(**changed)).status_code == 303
    page = text(client, "/yards/")
    for said in ("High Barn", "15 February to 10 June", "22:00 to 05:30", "Europe/Dublin"):
        assert said in page
    assert "01632 960172" in page
    # What was left empty is gone, not left as it was.
    emptied = settings(version="2", name="High Barn", **{"vet.practice": "", "vet.phone": ""})
    assert client.post(TOP_BARN, emptied).status_code == 303
    with inside("isolde"):
        yard = Yard.objects.get(ref=cast.ref("Top Barn"))
        assert (yard.vet_phone, yard.vet_second_phone, yard.spring_first) == ("", "", "")
        assert (yard.quiet_from, yard.time_zone) == (None, "Europe/London")


def test_a_changed_spring_is_judged_at_once_and_says_so(signed_in: SignIn, inside: Any) -> None:
    client = signed_in("isolde")
    plain = client.post(TOP_BARN, settings())
    assert "looked" not in plain.headers["Location"]
    before = datetime.now(UTC)
    spring = {"spring.first": "02-15", "spring.last": "06-10"}
    answer = client.post(TOP_BARN, settings(version="2", **spring))
    where = answer.headers["Location"]
    assert where == f"/yards/?looked={cast.ref('Top Barn')}#yard-{cast.ref('Top Barn')}"
    assert "Top Barn is being judged anew" in text(client, where)
    assert "being judged anew" not in text(client, "/yards/?looked=nothing")
    with inside("isolde"):
        [timer] = Timer.objects.filter(yard__ref=cast.ref("Top Barn"), kind="sweep")
        assert timer.due_at is not None
        assert before - timedelta(minutes=1) < timer.due_at <= datetime.now(UTC)


@pytest.mark.parametrize(
    ("changes", "field", "says"),
    [
        ({"name": ""}, "name", "cannot be left out"),
        ({"time_zone": ""}, "time_zone", "cannot be left out"),
        ({"time_zone": "Quillet/Moor"}, "time_zone", "by its place"),
        ({"spring.first": "03-01"}, "spring.last", "cannot be left out"),
        ({"spring.first": "1 March", "spring.last": "05-31"}, "spring.first", "month-day"),
        ({"vet.phone": "ring me"}, "vet.phone", "telephone number"),
        ({"quiet_hours.from": "22:00"}, "quiet_hours.to", "cannot be left out"),
        (
            {"quiet_hours.from": "22:00", "quiet_hours.to": "22:00"},
            "quiet_hours.to",
            "two different times",
        ),
    ],
)
def test_a_bad_form_keeps_what_was_typed_and_names_the_fault(
    signed_in: SignIn, changes: dict[str, Any], field: str, says: str
) -> None:
    typed = {"vet.practice": "Brackwell Vets", **changes}
    answer = signed_in("isolde").post(TOP_BARN, settings(**typed))
    page = answer.content.decode()
    assert answer.status_code == 422
    assert f'href="#{field}"' in page
    assert says in page
    assert 'value="Brackwell Vets"' in page


def test_what_somebody_changed_meanwhile_is_told(signed_in: SignIn, inside: Any) -> None:
    client = signed_in("isolde")
    assert client.post(TOP_BARN, settings(name="High Barn")).status_code == 303
    answer = client.post(TOP_BARN, settings(name="Low Barn"))
    assert answer.status_code == 409
    assert "changed this meanwhile" in answer.content.decode()
    assert 'value="Low Barn"' in answer.content.decode()
    with inside("isolde"):
        assert Yard.objects.get(ref=cast.ref("Top Barn")).name == "High Barn"


@pytest.mark.parametrize("caller", ["maud", "keziah", "hollis"])
def test_only_coordinators_change_yards(signed_in: SignIn, caller: str) -> None:
    client = signed_in(caller)
    for path in ("/yards/add/", TOP_BARN):
        assert client.get(path).status_code == 403
        assert client.post(path, settings()).status_code == 403


def test_another_organisations_yards_are_nothing(signed_in: SignIn) -> None:
    client = signed_in("perran")
    assert client.get(TOP_BARN).status_code == 404
    assert client.post(TOP_BARN, settings()).status_code == 404
    page = text(client, "/yards/")
    assert "Larchgill Yard" in page
    assert "Top Barn" not in page


def test_an_organisation_without_a_yard_is_told_what_to_do(signed_in: SignIn) -> None:
    viewer = Viewer(organisation=uuid_utils.uuid7(), role=Role.SYSTEM, via="command")
    with isolation.of(viewer):
        made = organisations.make_organisation(
            viewer,
            name="Moss End",
            email="ada@example.org",
            coordinator="Ada Moss",
            now=datetime.now(UTC),
        )
    client = signing.as_person(User.objects.get(id=made.coordinator))
    assert "No yards yet" in text(client, "/yards/")
    assert "No yards yet" in text(client, "/round/")
    assert 'href="/yards/add/"' in text(client, "/yards/")
    assert "There is no yard yet" in text(client, "/people/add/")
    assert "Times are those of UTC" in text(client, "/record/")
