"""Horses on pages: taken in, put right, moved, identified; one horse with all that was read."""

from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

import pytest
import uuid_utils.compat as uuid_utils
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from scoring.actions import assessments, standing
from scoring.models import Weighing
from scoring.queries import standing as standing_of
from tests import cast, factories, readings
from tests.api.asking import Asker
from tests.doors.scene import ago, assessment
from tests.outside import EXACT, outside
from yards.models import Horse, HorseEvent, Stay, User, Yard

SignIn = Callable[[str], Client]
TEASEL = f"/horses/{cast.ref('Teasel')}/"


def local(**span: float) -> str:
    return f"{datetime.now(ZoneInfo('Europe/London')) - timedelta(**span):%Y-%m-%dT%H:%M}"


def text(client: Client, path: str) -> str:
    return client.get(path).content.decode()


def test_the_list_is_by_name_and_is_searched_by_a_part_of_it(signed_in: SignIn) -> None:
    client = signed_in("isolde")
    page = text(client, "/horses/")
    named = ("Marram", "Sorrel Lad", "Tansy", "Teasel", "Wagtail")
    places = [page.index(f">{name}<") for name in named]
    assert places == sorted(places)
    assert "Gorse" not in page
    found = text(client, "/horses/?search=RREL")
    assert "Sorrel Lad" in found
    assert "Teasel" not in found
    assert "No horse is like this" in text(client, "/horses/?search=nobody")
    assert "Marram" not in text(signed_in("maud"), "/horses/")


def test_what_was_noted_with_the_last_score_stands_beside_where_it_stands(
    signed_in: SignIn,
) -> None:
    for hours, note in ((30, "Stood badly."), (2, "Rain scald on the back.")):
        sent = assessment(str(cast.ref("Teasel")), taken_at=ago(hours=hours), note=note)
        assert Asker("tobias").post("assessments/", sent).status_code == 201
    page = text(signed_in("maud"), TEASEL)
    stands = page.split('id="stands"')[1].split("</section>")[0]
    assert "Rain scald on the back." in stands
    assert "Tobias Wren" in stands
    assert "Stood badly." not in stands


def test_the_list_goes_on_where_a_page_ends(signed_in: SignIn, inside: Any) -> None:
    with inside("isolde") as viewer:
        yard = Yard.objects.get(ref=cast.ref("Top Barn"))
        for number in range(60):
            factories.HorseFactory(  # type: ignore[no-untyped-call]
                organisation_id=viewer.organisation, yard=yard, name=f"Moor {number:02}"
            )
    client = signed_in("isolde")
    first = text(client, "/horses/")
    assert "Moor 48" in first
    assert "Moor 49" not in first
    after = first.split("after=")[1].split('"')[0]
    second = text(client, f"/horses/?after={after}")
    assert "Moor 49" in second
    assert "Teasel" in second
    assert "Moor 48" not in second


def test_a_coordinator_takes_a_horse_in(signed_in: SignIn, inside: Any) -> None:
    client = signed_in("isolde")
    ref = str(uuid_utils.uuid7())
    sent = {
        "id": ref,
        "name": "Pepperwort",
        "species": "horse",
        "yard": str(cast.ref("Top Barn")),
        "sex": "mare",
        "use": "retired",
        "height_cm": "148",
    }
    answer = client.post("/horses/add/", sent)
    where = f"/horses/{ref}/?saved=added.{ref}"
    assert (answer.status_code, answer.headers["Location"]) == (303, where)
    assert client.post("/horses/add/", sent).status_code == 303, "sent twice is one horse"
    page = text(client, answer.headers["Location"])
    assert "148 cm" in page
    assert "No scores yet" in page
    with inside("isolde"):
        assert Horse.objects.filter(name="Pepperwort").count() == 1


def test_a_form_keeps_what_was_typed_and_names_what_is_wrong(signed_in: SignIn) -> None:
    sent = {"name": "Pepperwort", "species": "horse", "yard": "", "height_cm": "tall"}
    page = signed_in("isolde").post("/horses/add/", sent)
    said = page.content.decode()
    assert page.status_code == 422
    assert 'value="Pepperwort"' in said
    assert 'value="tall"' in said
    assert 'href="#yard"' in said
    assert 'href="#height_cm"' in said


@outside(
    "14.2 hands are 147.3 cm, 1000 lb are 453.6 kg",
    source="NIST Special Publication 811 (2008), appendix B.8",
    status=EXACT,
)
def test_heights_and_weights_are_read_and_typed_in_the_readers_own_units(
    signed_in: SignIn, inside: Any
) -> None:
    client = signed_in("isolde")
    mine = {"language": "en-gb", "weight_unit": "lb", "length_unit": "in", "height_unit": "hands"}
    assert client.post("/settings/", mine).status_code == 303
    facts = {"name": "Teasel", "version": "1", "species": "horse", "height_cm": "14.2"}
    assert client.post(f"{TEASEL}facts/", facts).status_code == 303
    # 14 hands 2 inches is 58 inches, 147.3 cm (NIST SP 811: 2.54 cm to the inch exactly).
    weighed = {"method": "weigh_tape", "weight_kg": "1000", "taken_at": local(minutes=3)}
    assert client.post(f"{TEASEL}weigh/", weighed).status_code == 303
    page = text(client, TEASEL)
    assert "14.2 hands" in page
    assert "1000 lb" in page
    with inside("isolde"):
        assert str(Horse.objects.get(name="Teasel").height_cm) == "147.3"
    # 1000 lb is 453.6 kg, as another reads it.
    assert "453.6 kg" in text(signed_in("tobias"), TEASEL)
    wrong = client.post(f"{TEASEL}facts/", {**facts, "version": "2", "height_cm": "14.5"})
    assert wrong.status_code == 422, "there is no fifth inch in a hand"


def test_a_quantity_sent_back_as_it_was_shown_stays_to_the_last_digit(
    signed_in: SignIn, inside: Any
) -> None:
    client = signed_in("isolde")
    client.post(f"{TEASEL}facts/", {"name": "Teasel", "version": "1", "height_cm": "148"})
    weighed = {"method": "weighbridge", "weight_kg": "285.3", "taken_at": local(minutes=3)}
    client.post(f"{TEASEL}weigh/", weighed)
    mine = {"language": "en-gb", "weight_unit": "lb", "length_unit": "in", "height_unit": "hands"}
    client.post("/settings/", mine)
    shown = {"name": "Teasel", "version": "2", "use": "retired", "height_cm": "14.2½"}
    assert 'value="14.2½"' in text(client, f"{TEASEL}facts/")
    assert client.post(f"{TEASEL}facts/", shown).status_code == 303
    with inside("isolde"):
        horse = Horse.objects.get(name="Teasel")
        assert (str(horse.height_cm), horse.use) == ("148.0", "retired")
        page = f"/weighings/{Weighing.objects.get().ref}/correct/"
    assert 'value="629"' in text(client, page)
    again = {**weighed, "weight_kg": "629", "method": "weigh_tape", "reason": "It was the tape"}
    assert client.post(page, again).status_code == 303
    with inside("isolde"):
        assert {str(each.weight_kg) for each in Weighing.objects.all()} == {"285.3"}


def test_facts_that_somebody_changed_meanwhile_are_told(signed_in: SignIn) -> None:
    client = signed_in("isolde")
    facts = {"name": "Teasel", "version": "1", "laminitis": "past"}
    assert client.post(f"{TEASEL}facts/", facts).status_code == 303
    assert client.post(f"{TEASEL}facts/", {**facts, "laminitis": "never"}).status_code == 409


def test_a_horse_cannot_lose_its_name(signed_in: SignIn) -> None:
    answer = signed_in("isolde").post(f"{TEASEL}facts/", {"name": " ", "version": "1"})
    assert answer.status_code == 422
    assert 'href="#name"' in answer.content.decode()


def test_a_field_left_empty_goes_back_to_its_default(signed_in: SignIn, inside: Any) -> None:
    client = signed_in("isolde")
    client.post(f"{TEASEL}facts/", {"name": "Teasel", "version": "1", "height_cm": "132"})
    client.post(f"{TEASEL}facts/", {"name": "Teasel", "version": "2", "height_cm": ""})
    with inside("isolde"):
        assert Horse.objects.get(name="Teasel").height_cm is None


def test_a_horse_moves_and_its_events_are_told(signed_in: SignIn, inside: Any) -> None:
    client = signed_in("isolde")
    at = local(minutes=1)
    sent = {"id": str(uuid_utils.uuid7()), "yard": str(cast.ref("Sallow Field")), "at": at}
    assert client.post(f"{TEASEL}move/", sent).status_code == 303
    event = {"id": str(uuid_utils.uuid7()), "kind": "clipped", "at": local(), "note": "Full clip"}
    assert client.post(f"{TEASEL}events/add/", event).status_code == 303
    page = text(client, TEASEL)
    assert "Full clip" in page
    assert "Sallow Field" in page
    with inside("isolde"):
        assert Stay.objects.filter(horse__name="Teasel").count() == 2
        assert HorseEvent.objects.filter(horse__name="Teasel", kind="clipped").count() == 1


def test_an_unknown_animal_is_scored_and_then_identified(signed_in: SignIn, inside: Any) -> None:
    client = signed_in("isolde")
    ref = str(uuid_utils.uuid7())
    stray = {"id": ref, "name": "Bay stray", "species": "horse", "is_unknown": "true"}
    client.post("/horses/add/", {**stray, "yard": str(cast.ref("Top Barn"))})
    with inside("tobias") as viewer:
        now = datetime.now(UTC)
        raw = readings.raw("Teasel", now, "2.5", "3", "2.5")
        assessments.record_assessment(viewer, {**raw, "horse": ref}, now=now)
    into = {"into": str(cast.ref("Teasel")), "reason": "Transponder read"}
    answer = client.post(f"/horses/{ref}/identify/", into)
    assert answer.headers["Location"] == TEASEL
    assert "2.67" in text(client, TEASEL), "its readings are read with the known horse's"
    assert "has been identified" in text(client, f"/horses/{ref}/")


def test_the_level_is_not_taken_for_what_was_felt_last(signed_in: SignIn, inside: Any) -> None:
    now = datetime.now(UTC)
    with inside("isolde") as viewer:
        for days, score in ((60, "2.5"), (40, "2.5"), (20, "2.5"), (0, "3.5")):
            at = now - timedelta(days=days)
            weight = {"method": "weighbridge", "weight_kg": "480" if days else "455.5"}
            felt = readings.raw("Teasel", at, score, score, score, weighing=weight)
            assessments.record_assessment(viewer, felt, now=at)
        level = standing_of.get_standing(viewer, cast.ref("Teasel"), now=now).overall
    assert level is not None
    assert level.level < 3.4
    page = text(signed_in("isolde"), TEASEL)
    stands = page[page.index('id="stands"') : page.index('id="chart"')]
    assert f"{level.level:.1f}</p>" in stands
    assert "Level by all readings, 80% range" in stands
    assert '<p class="big">3.50</p><p class="nearest">Felt last, overall of one hand' in stands
    assert "Last reading 455.5 kg, weighbridge, on" in stands
    assert "Level by all readings 4" in stands.replace("readings 455.5", ""), "nobody read that"


def test_a_person_who_may_only_read_is_offered_nothing_to_do(signed_in: SignIn) -> None:
    page = text(signed_in("hollis"), TEASEL)
    assert "Teasel" in page
    for way in ("score/", "weigh/", "concern/", "facts/", "move/", "events/add/", "order/"):
        assert f"{TEASEL}{way}" not in page
    assert f"{TEASEL}order/" in text(signed_in("keziah"), TEASEL)


@pytest.mark.parametrize("path", ["/horses/", TEASEL, "/due/"])
def test_twenty_rows_cost_as_many_queries_as_ten(signed_in: SignIn, inside: Any, path: str) -> None:
    client = signed_in("isolde")
    client.get("/")
    counts = []
    for turn in range(2):
        with inside("isolde") as viewer:
            yard = Yard.objects.get(ref=cast.ref("Top Barn"))
            for number in range(10):
                horse: Any = factories.HorseFactory(  # type: ignore[no-untyped-call]
                    organisation_id=viewer.organisation, yard=yard
                )
                standing.make(viewer, horse, datetime.now(UTC) - timedelta(days=90))
                at = datetime.now(UTC) - timedelta(days=20 - turn, minutes=number)
                weight = {"method": "estimate", "weight_kg": "285"}
                raw = readings.raw("Teasel", at, "2.5", "3", "2.5", weighing=weight)
                if turn == 0 or number < 2:
                    assessments.record_assessment(viewer, raw, now=at)
        with CaptureQueriesContext(connection) as queries:
            assert client.get(path).status_code == 200
        counts.append(len(queries))
    assert counts[0] == counts[1]


def test_an_auditor_may_choose_units_and_nothing_else_of_a_person_changes(
    signed_in: SignIn,
) -> None:
    before = User.objects.get(id=cast.ref("hollis"))
    mine = {"language": "en-gb", "weight_unit": "lb", "length_unit": "cm", "height_unit": "cm"}
    assert signed_in("hollis").post("/settings/", {**mine, "name": "Else"}).status_code == 422
    assert signed_in("hollis").post("/settings/", mine).status_code == 303
    after = User.objects.get(id=cast.ref("hollis"))
    assert (after.weight_unit, after.name, after.email) == ("lb", before.name, before.email)
    bad = signed_in("hollis").post("/settings/", {**mine, "weight_unit": "stone"})
    assert bad.status_code == 422


@pytest.mark.parametrize(
    ("who", "first", "folded"),
    [
        ("isolde", ["Assess", "Weigh", "Concern", "Event", "Move"], 5),
        ("keziah", ["Assess", "Weigh", "Concern", "Vet's order", "Clinical note"], 3),
        ("maud", ["Assess", "Weigh", "Concern", "Event", "Handling", "Ask the vet"], 0),
        ("hollis", [], 0),
    ],
)
def test_each_role_has_its_own_daily_acts_before_the_fold(
    signed_in: SignIn, who: str, first: list[str], folded: int
) -> None:
    found = signed_in(who).get(TEASEL)
    assert [each.words for each in found.context["links"]] == first
    assert len(found.context["rarer"]) == folded
    assert ("<details" in text_before_what_became_of_it(found.content.decode())) is bool(folded)


def text_before_what_became_of_it(page: str) -> str:
    return page.split("<main", 1)[1].split("<section", 1)[0]
