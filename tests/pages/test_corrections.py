"""Scores and weights put right on pages; a concern sent; a vet's order; what is due."""

import re
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

import uuid_utils.compat as uuid_utils
from django.test import Client

from scoring.actions import assessments, weighings
from scoring.models import Assessment, Concern, Weighing
from tests import cast, readings
from tests.pages.test_horse_pages import local, text

SignIn = Callable[[str], Client]
TEASEL = f"/horses/{cast.ref('Teasel')}/"


def scored(inside: Any, *scores: str | None, **facts: Any) -> str:
    now = datetime.now(UTC)
    with inside("maud") as viewer:
        raw = readings.raw("Teasel", now - timedelta(hours=1), *scores, **facts)
        return str(assessments.record_assessment(viewer, raw, now=now).id)


def test_a_correction_begins_with_what_was_entered_and_both_stay(
    signed_in: SignIn, inside: Any
) -> None:
    old = scored(
        inside,
        *("2.5", None, "3.0"),
        not_safe=["back_and_ribs"],
        coat="winter",
        rug_off=False,
        note="Would not stand.",
        danger_signs=["not_eating"],
        findings={"crest": "slight"},
        crest="1.5",
    )
    client = signed_in("maud")
    page = text(client, f"/assessments/{old}/correct/")
    for kept in ("Would not stand.", 'value="not_eating" checked', 'value="winter" checked'):
        assert kept in page
    assert 'id="regions.back_and_ribs-not_safe"' in page or "not_safe" in page
    sent = {
        "id": str(uuid_utils.uuid7()),
        "scale": "five",
        "manner": "palpated",
        "taken_at": local(hours=1),
        "regions.neck_and_shoulder": "2.5",
        "regions.back_and_ribs": "3.5",
        "regions.hindquarters": "3.0",
    }
    missing = client.post(f"/assessments/{old}/correct/", sent)
    assert missing.status_code == 422
    assert 'href="#reason"' in missing.content.decode()
    answer = client.post(f"/assessments/{old}/correct/", {**sent, "reason": "Felt it after all"})
    assert answer.status_code == 303
    assert "Corrected by Maud Pell: Felt it after all" in text(client, answer.headers["Location"])
    assert "was corrected and no longer counts" in text(client, f"/assessments/{old}/")
    horse = text(client, TEASEL)
    assert "Corrected by Maud Pell: Felt it after all" in horse
    assert 'class="struck"' in horse
    with inside("isolde"):
        assert Assessment.objects.count() == 2
    again = {**sent, "id": str(uuid_utils.uuid7()), "reason": "Once more"}
    assert client.post(f"/assessments/{old}/correct/", again).status_code == 409


def test_what_a_correction_shows_sent_back_unchanged_is_the_same_reading(
    signed_in: SignIn, inside: Any
) -> None:
    """Every field of the form comes back as it was recorded: that corrects nothing, so is none."""
    old = scored(
        inside,
        *("2.5", "3.0", "3.0"),
        fat_pocket="slight",
        appetite="some",
        muscle="full",
        by_eye="3.5",
        held_by="Jonty Farr",
        limits="Deep coat",
        looked_for_danger=True,
        weighing={"method": "weigh_tape", "weight_kg": "471"},
    )
    client, page = signed_in("maud"), f"/assessments/{old}/correct/"
    form = {**client.get(page).context["form"].values, "reason": "Misread the tape"}
    weight = {"weighing.method": "weigh_tape", "weighing.weight_kg": "471"}
    for sent in (form, {**form, **weight}):
        answer = client.post(page, sent)
        assert answer.status_code == 422
        assert "nothing was changed" in answer.content.decode()
        assert answer.context["form"].values["reason"] == "Misread the tape"
    with inside("isolde"):
        assert Assessment.objects.count() == 1
    right = client.post(page, {**form, **weight, "weighing.weight_kg": "417"})
    assert right.status_code == 303, right.content.decode()
    with inside("isolde"):
        first, second = Assessment.objects.order_by("id")
        same = ("neck", "back", "hind", "fat_pocket", "appetite", "muscle", "by_eye", "held_by")
        for name in (*same, "limits", "looked_for_danger", "findings", "danger_signs", "manner"):
            assert getattr(first, name) == getattr(second, name), name


def test_a_weight_is_put_right_and_the_old_one_is_struck(signed_in: SignIn, inside: Any) -> None:
    now = datetime.now(UTC)
    with inside("maud") as viewer:
        raw = {"horse": str(cast.ref("Teasel")), "taken_at": now.isoformat()}
        made = weighings.record_weighing(
            viewer, {**raw, "method": "weigh_tape", "weight_kg": "825"}, now=now
        )
    client = signed_in("maud")
    page = f"/weighings/{made.id}/correct/"
    assert 'value="825"' in text(client, page)
    sent = {"method": "weigh_tape", "weight_kg": "285", "taken_at": local()}
    assert client.post(page, sent).status_code == 422
    sent["reason"] = "Figures turned round"
    same = client.post(page, {**sent, "weight_kg": "825"})
    assert same.status_code == 422
    assert 'href="#weight_kg">Weight, kg: This is the same as what stands' in same.content.decode()
    assert 'value="Figures turned round"' in same.content.decode()
    assert client.post(page, sent).status_code == 303
    horse = text(client, TEASEL)
    assert "285 kg" in horse
    assert "Figures turned round" in horse
    assert "Corrected: no longer counts" in horse
    with inside("isolde"):
        assert Weighing.objects.count() == 2


def test_who_corrects_is_told_beside_who_took_it(signed_in: SignIn, inside: Any) -> None:
    taken = {"method": "weigh_tape", "weight_kg": "825"}
    old = scored(inside, "2.5", "3.0", "3.0", weighing=taken)
    now = datetime.now(UTC)
    with inside("isolde") as viewer:
        raw = readings.raw("Teasel", now - timedelta(hours=1), "4", "4", "4", reason="Wrong key")
        right = assessments.correct_assessment(viewer, UUID(old), raw, now=now)
        weight = {**taken, "weight_kg": "285", "horse": str(cast.ref("Teasel"))}
        weight |= {"taken_at": (now - timedelta(hours=1)).isoformat(), "reason": "Turned round"}
        ref = Weighing.objects.get().ref
        weighed = weighings.correct_weighing(viewer, ref, weight, now=now)
    page = text(signed_in("tobias"), f"/assessments/{right.id}/")
    assert re.search(r"Scored [^<]+ by Maud Pell\.", page)
    assert "Corrected by Isolde Kerr: Wrong key" in page
    page = text(signed_in("tobias"), f"/weighings/{weighed.id}/")
    assert "<dt>Assessor</dt><dd><bdi>Maud Pell</bdi></dd>" in page
    assert "<dt>Corrected by</dt><dd><bdi>Isolde Kerr</bdi></dd>" in page
    horse = text(signed_in("tobias"), TEASEL)
    assert "Corrected by Isolde Kerr: Wrong key" in horse
    assert "Corrected by Isolde Kerr: Turned round" in horse
    listed = signed_in("tobias").get(f"{TEASEL}readings.json").json()["readings"]
    assert {(each["by"], each["corrected_by"]) for each in listed} == {
        ("Maud Pell", ""),
        ("Maud Pell", "Isolde Kerr"),
    }
    desk = text(signed_in("hollis"), f"/desk/horses/{cast.ref('Teasel')}/")
    table = desk.split("<caption", 1)[1].split("Corrected on, by", 1)[1].split("</table>")[0]
    for why in ("Wrong key", "Turned round"):
        [row] = [each for each in table.split("<tr") if why in each]
        assert row.index("Maud Pell") < row.index(why) < row.index("Isolde Kerr")


def test_a_concern_leads_to_the_alert_that_it_opens(signed_in: SignIn, inside: Any) -> None:
    client = signed_in("maud")
    form = text(client, f"{TEASEL}concern/")
    assert "01632 960118" in form, "the vet's numbers stand beside the form"
    empty = client.post(f"{TEASEL}concern/", {"seen_at": local()})
    assert empty.status_code == 422
    sent = {
        "id": str(uuid_utils.uuid7()),
        "danger_signs": ["not_eating"],
        "note": "Stands apart.",
        "seen_at": local(),
    }
    answer = client.post(f"{TEASEL}concern/", sent)
    assert answer.headers["Location"].startswith("/alerts/")
    assert client.post(f"{TEASEL}concern/", sent).headers["Location"] == answer.headers["Location"]
    assert "Stands apart." in text(client, TEASEL)
    with inside("isolde"):
        assert Concern.objects.count() == 1


def test_a_vet_sets_a_rhythm_and_everybody_reads_it(signed_in: SignIn) -> None:
    sent = {
        "id": str(uuid_utils.uuid7()),
        "band.low": "2.5",
        "band.high": "3.5",
        "score_days": "7",
        "reason": "Feeding up after the winter",
        "until": local(days=-30)[:10],
    }
    client = signed_in("keziah")
    bad = client.post(f"{TEASEL}order/", {**sent, "score_days": "seven", "reason": ""})
    assert bad.status_code == 422
    assert 'value="seven"' in bad.content.decode()
    assert client.post(f"{TEASEL}order/", sent).status_code == 303
    page = text(signed_in("maud"), TEASEL)
    assert "Feeding up after the winter" in page
    assert "Target band 2½ to 3½" in page
    assert "score every 7 days" in page


def test_the_due_list_says_what_is_late_and_where_to_do_it(signed_in: SignIn, inside: Any) -> None:
    # At noon, which is the same day in UTC and in the yard.
    long_ago = (datetime.now(UTC) - timedelta(days=60)).replace(hour=12)
    with inside("tobias") as viewer:
        assessments.record_assessment(
            viewer, readings.raw("Teasel", long_ago, "2.5", "3", "2.5"), now=long_ago
        )
    page = text(signed_in("maud"), "/due/")
    assert "Teasel" in page
    late = (datetime.now(ZoneInfo("Europe/London")).date() - long_ago.date()).days - 28
    assert f"{late} days" in page
    assert f"{TEASEL}score/" in page
    assert "Marram" not in page
    assert f"{TEASEL}score/" not in text(signed_in("hollis"), "/due/")
    assert signed_in("maud").get(f"/due/?yard={cast.ref('Nether Paddocks')}").status_code == 404
