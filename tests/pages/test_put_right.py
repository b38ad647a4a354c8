"""What a page shows and is sent back unchanged changes nothing; what went wrong can be undone."""

from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

import uuid_utils.compat as uuid_utils
from django.test import Client

from scoring.actions import assessments, vet_orders, weighings
from scoring.models import Assessment, Weighing
from tests import cast, readings
from tests.pages.test_horse_pages import local, text
from yards.models import Horse, HorseEvent

SignIn = Callable[[str], Client]
TEASEL = f"/horses/{cast.ref('Teasel')}/"


def test_a_correction_keeps_the_instant_of_a_device_whose_clock_was_off(
    signed_in: SignIn, inside: Any
) -> None:
    now = datetime.now(UTC)
    taken = now - timedelta(hours=30, seconds=17)
    with inside("maud") as viewer:
        raw = readings.raw("Teasel", taken, "2.5", "3", "3", sent_at=(now - timedelta(hours=26)))
        raw["sent_at"] = raw["sent_at"].isoformat()
        made = assessments.record_assessment(viewer, raw, now=now)
    client = signed_in("maud")
    page = f"/assessments/{made.id}/correct/"
    shown = client.get(page).context["form"].values
    zone = ZoneInfo("Europe/London")
    assert shown["taken_at"] == f"{made.corrected_taken_at.astimezone(zone):%Y-%m-%dT%H:%M}"
    assert client.post(page, {**shown, "coat": "winter", "reason": "Wrong key"}).status_code == 303
    with inside("isolde"):
        first, second = Assessment.objects.order_by("id")
        assert second.corrected_at == first.corrected_at != first.taken_at


def test_a_weight_by_formula_is_put_right_as_one(signed_in: SignIn, inside: Any) -> None:
    now = datetime.now(UTC)
    raw = {
        "horse": str(cast.ref("Teasel")),
        "taken_at": now.isoformat(),
        "method": "formula",
        "formula": "icelandic_2013",
        "measures": {"girth_cm": "171.0", "length_cm": "150.5"},
        "weight_kg": "386.0",
    }
    with inside("maud") as viewer:
        made = weighings.record_weighing(viewer, raw, now=now)
    client = signed_in("maud")
    page = f"/weighings/{made.id}/correct/"
    assert 'value="formula" checked' in text(client, page)
    sent = {
        "method": "formula",
        "weight_kg": "386.0",
        "taken_at": local(hours=1),
        "reason": "Time only",
    }
    assert client.post(page, sent).status_code == 303
    with inside("isolde"):
        first, second = Weighing.objects.order_by("id")
        assert (second.formula, second.measures) == (first.formula, first.measures)


def test_signs_seen_and_none_seen_are_never_both_ticked(signed_in: SignIn, inside: Any) -> None:
    now = datetime.now(UTC)
    with inside("maud") as viewer:
        raw = readings.raw("Teasel", now, "2.5", "3", "3", danger_signs=["not_eating"])
        made = assessments.record_assessment(viewer, raw, now=now)
    shown = signed_in("maud").get(f"/assessments/{made.id}/correct/").context["form"].values
    assert shown["danger_signs"] == ["not_eating"]
    assert not shown["looked_for_danger"]


def test_a_correction_says_that_the_weight_with_it_stands(signed_in: SignIn, inside: Any) -> None:
    now = datetime.now(UTC)
    with inside("maud") as viewer:
        weight = {"method": "weigh_tape", "weight_kg": "285"}
        raw = readings.raw("Teasel", now, "2.5", "3", "3", weighing=weight)
        made = assessments.record_assessment(viewer, raw, now=now)
    page = text(signed_in("maud"), f"/assessments/{made.id}/correct/")
    assert "The weight entered with it, 285 kg, stands" in page


def test_nothing_is_due_of_a_horse_that_is_gone_and_it_can_come_back(
    signed_in: SignIn, inside: Any
) -> None:
    client = signed_in("isolde")
    assert "Due next" in text(client, TEASEL)
    died = {"id": str(uuid_utils.uuid7()), "kind": "died", "at": local()}
    assert client.post(f"{TEASEL}events/add/", died).status_code == 303
    page = text(client, TEASEL)
    assert "Due next" not in page
    assert f"{TEASEL}score/" not in page
    with inside("isolde"):
        version = Horse.objects.get(name="Teasel").version
    kept = client.get(f"{TEASEL}facts/").context["sent"].values
    assert client.post(f"{TEASEL}facts/", {**kept, "use": "retired"}).status_code == 303
    with inside("isolde"):
        assert Horse.objects.get(name="Teasel").status == "dead", "only what was asked changed"
    back = {**kept, "status": "present", "version": str(version + 1)}
    assert client.post(f"{TEASEL}facts/", back).status_code == 303
    assert "Due next" in text(client, TEASEL)


def test_back_change_and_send_again_says_so_and_then_records_it(
    signed_in: SignIn, inside: Any
) -> None:
    client = signed_in("maud")
    sent = {"id": str(uuid_utils.uuid7()), "kind": "clipped", "at": local(), "note": "Half"}
    assert client.post(f"{TEASEL}events/add/", sent).status_code == 303
    again = client.post(f"{TEASEL}events/add/", {**sent, "note": "Full"})
    assert again.status_code == 409
    assert "This form was saved before" in again.content.decode()
    shown = again.context["sent"].values
    assert (shown["note"], shown["id"] == sent["id"]) == ("Full", False)
    assert client.post(f"{TEASEL}events/add/", shown).status_code == 303
    with inside("isolde"):
        assert HorseEvent.objects.filter(kind="clipped").count() == 2


def test_an_assessor_takes_in_an_unknown_animal_and_no_other(
    signed_in: SignIn, inside: Any
) -> None:
    client = signed_in("maud")
    assert "Take in an unknown animal" in text(client, "/horses/")
    sent = {"name": "Grey at the gate", "species": "horse", "yard": str(cast.ref("Top Barn"))}
    assert client.post("/horses/add/", {**sent, "id": str(uuid_utils.uuid7())}).status_code == 303
    with inside("isolde"):
        assert Horse.objects.get(name="Grey at the gate").is_unknown


def test_an_unknown_animal_that_is_nobody_elses_gets_a_name_of_its_own(
    signed_in: SignIn, inside: Any
) -> None:
    client, ref = signed_in("isolde"), str(uuid_utils.uuid7())
    stray = {"id": ref, "name": "Stray", "species": "horse", "is_unknown": "true"}
    client.post("/horses/add/", {**stray, "yard": str(cast.ref("Top Barn"))})
    kept = client.get(f"/horses/{ref}/facts/").context["sent"].values
    assert client.post(f"/horses/{ref}/facts/", {**kept, "name": "Bay stray"}).status_code == 303
    with inside("isolde"):
        assert Horse.objects.get(ref=ref).is_unknown, "sent back as it was, it is unknown still"
    known = {**kept, "name": "Saxifrage", "is_unknown": "", "version": "2"}
    assert client.post(f"/horses/{ref}/facts/", known).status_code == 303
    with inside("isolde"):
        assert not Horse.objects.get(ref=ref).is_unknown
    assert client.get(f"/horses/{ref}/identify/").status_code == 409


def test_what_is_wrong_with_a_quantity_is_said_in_the_readers_unit(signed_in: SignIn) -> None:
    client = signed_in("maud")
    mine = {"language": "en-gb", "weight_unit": "lb", "length_unit": "cm", "height_unit": "hands"}
    client.post("/settings/", mine)
    sent = {"method": "estimate", "weight_kg": "3400", "taken_at": local()}
    told = client.post(f"{TEASEL}weigh/", sent).content.decode()
    assert "Give a value from 11 to 3307." in told
    assert 'value="3400"' in told
    wrong = client.post(f"{TEASEL}weigh/", {**sent, "weight_kg": "heavy"}).content.decode()
    assert "Give pounds as a plain number" in wrong


def test_the_unit_that_the_form_was_shown_in_counts(signed_in: SignIn, inside: Any) -> None:
    client = signed_in("maud")
    assert 'name="unit.weight_kg" value="kg"' in text(client, f"{TEASEL}weigh/")
    mine = {"language": "en-gb", "weight_unit": "lb", "length_unit": "cm", "height_unit": "cm"}
    client.post("/settings/", mine)
    sent = {"method": "estimate", "weight_kg": "471", "unit.weight_kg": "kg", "taken_at": local()}
    assert client.post(f"{TEASEL}weigh/", sent).status_code == 303
    with inside("isolde"):
        assert str(Weighing.objects.get().weight_kg) == "471.0"


def test_an_order_that_has_ended_is_struck(signed_in: SignIn, inside: Any) -> None:

    then = datetime.now(UTC) - timedelta(days=20)
    order = {"score_days": 7, "reason": "Feeding up", "until": (then + timedelta(days=9))}
    order["until"] = (then + timedelta(days=9)).isoformat()
    with inside("keziah") as viewer:
        vet_orders.give_vet_order(viewer, cast.ref("Teasel"), order, now=then)
    assert 'class="struck"' in text(signed_in("maud"), TEASEL)
