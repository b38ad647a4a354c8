"""The pages of one alert's life and of ladders: read, previewed, saved, flagged on every page."""

import html
import re
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from scoring.actions import timers
from scoring.models import Alert, AlertAct, EscalationPolicy, Timer
from tests import cast
from tests.api.asking import Asker
from tests.conftest import viewer_of
from tests.doors.scene import ahead, assessment, local
from yards import isolation
from yards.rules import bidi

SignIn = Callable[[str], Client]
TEASEL = str(cast.ref("Teasel"))
FAT = {"neck_and_shoulder": "3.5", "back_and_ribs": "5.0", "hindquarters": "4.0"}
URGENT = "/escalation/urgent/"
# The urgent ladder of the house, with the vet at once and Maud after a quarter of an hour.
LADDER = {
    "steps.0.after_minutes": "0",
    "steps.0.roles": ["coordinator", "vet"],
    "steps.2.after_minutes": "15",
    "steps.2.roles": ["coordinator"],
    "steps.2.person.0": str(cast.ref("maud")),
    "repeat_minutes": "20",
    "reason": "As we work",
    "version": "1",
}


def text(answer: Any) -> str:
    """What a page says, without its marks."""
    body = html.unescape(re.sub(r"<[^>]+>", " ", answer.content.decode()))
    return re.sub(r"\s+", " ", body)


def mark_of(answer: Any) -> str:
    """What was previewed, to go along with the second press."""
    found = re.search(r'name="previewed" value="([^"]*)"', answer.content.decode())
    assert found is not None, text(answer)
    return html.unescape(found[1])


def alarmed(**more: Any) -> str:
    """A danger sign of Teasel's; return its alert's id."""
    made = Asker("tobias").post("assessments/", assessment(TEASEL, **more))
    assert made.status_code == 201, made.content
    return str(made.json()["alerts"][0]["id"])


def test_a_ladder_is_shown_as_a_timetable_before_it_is_saved(signed_in: SignIn) -> None:
    isolde = signed_in("isolde")
    assert "coordinators and vets" in text(isolde.get("/escalation/"))
    shown = isolde.post(URGENT, LADDER)
    said = text(shown)
    assert shown.status_code == 200
    assert "Not saved yet" in said
    # In the afternoon and in the night, since what is urgent heeds no quiet hours.
    for line in ("14:00", "14:15", "14:35", "02:00", "Dr Keziah Orme and Isolde Kerr", "Maud Pell"):
        assert line in said, line
    # Nether Paddocks is not among Maud's yards, but a coordinator is told there too.
    assert "Nobody to tell" not in said
    with isolation.of(viewer_of("isolde")):
        assert not EscalationPolicy.objects.exists()
    sent = {**LADDER, "press": "save", "previewed": mark_of(shown)}
    # What was not shown is not saved.
    other = isolde.post(URGENT, {**sent, "repeat_minutes": "30"})
    assert other.status_code == 200
    saved = isolde.post(URGENT, sent)
    assert saved.status_code == 303
    said = text(isolde.get(saved["Location"]))
    assert "After 15 minutes: coordinators and Maud Pell, with the call to phone the vet." in said
    assert "again every 20 minutes" in said
    assert "Last changed by Isolde Kerr" in said
    assert "After 15 minutes" in text(isolde.get("/rules/danger_signs/"))
    # Sent to the address that said so: what is now below it is not saved yet.
    again = text(isolde.post(saved["Location"], {**sent, "repeat_minutes": "30"}))
    assert "Not saved yet" in again
    assert "Saved." not in again
    # The same once more is refused nothing: it says so, and shows what stands, to save nothing.
    same = isolde.post(URGENT, {**sent, "version": "2"})
    said = text(same)
    assert (same.status_code, "Not saved yet" in said) == (200, False)
    for line in ("Nothing was changed: so it is now", "14:15", "again every 20 minutes"):
        assert line in said, line
    assert "Save this change" not in said


def test_a_step_that_reaches_nobody_is_warned_of(signed_in: SignIn) -> None:
    isolde = signed_in("isolde")
    alone = {**LADDER, "steps.2.roles": []}
    shown = text(isolde.post(URGENT, alone))
    assert "Step 2 names nobody who can be told now at Nether Paddocks" in shown


@pytest.mark.parametrize(
    ("change", "said"),
    [
        (
            {"steps.0.after_minutes": "", "steps.0.roles": [], "steps.2.after_minutes": "15"},
            "Set it to at once",
        ),
        ({"steps.0.roles": []}, "Say who is told at this step"),
        ({"steps.2.after_minutes": ""}, "Fill this in"),
    ],
)
def test_what_does_not_fit_comes_back_with_what_was_typed(
    signed_in: SignIn, change: dict[str, Any], said: str
) -> None:
    answer = signed_in("isolde").post(URGENT, {**LADDER, **change})
    assert answer.status_code == 422
    assert said in text(answer)
    assert "As we work" in answer.content.decode()
    # The way to the fault says of which step it is, and leads to a control that is there.
    found = re.search(r'<a href="#([^"]+)">Step [12], ', answer.content.decode())
    assert found is not None
    assert f'id="{found[1]}"' in answer.content.decode()


def test_who_is_away_is_said_and_ended(signed_in: SignIn) -> None:
    isolde = signed_in("isolde")
    sent = {"person": str(cast.ref("keziah")), "until": local(days=-3), "reason": "Holiday"}
    assert isolde.post("/away/new/", sent).status_code == 303
    listed = isolde.get("/away/")
    assert "Dr Keziah Orme" in text(listed)
    assert "Nobody is away" in text(signed_in("maud").get("/away/"))
    end = re.search(r'href="(/away/[^"]+/end/)"', listed.content.decode())
    assert end is not None
    assert isolde.post(end[1]).status_code == 303
    assert "Ended" in text(isolde.get("/away/"))


def test_an_alert_is_made_somebody_s_put_off_and_talked_about(signed_in: SignIn) -> None:
    alert = alarmed(regions=FAT)
    with isolation.of(viewer_of("isolde")):
        Alert.objects.filter(ref=alert).update(rule="fat", severity="act")
    maud = signed_in("maud")
    page = f"/alerts/{alert}/"
    said = {"text": "Off the grass since noon", "id": str(cast.ref("said"))}
    for _ in range(2):
        assert maud.post(f"{page}comment/", said).status_code == 303
    owner = {"person": str(cast.ref("tobias")), "version": "1"}
    assert maud.post(f"{page}assign/", owner).status_code == 303
    refused = maud.post(f"{page}snooze/", {"until": local(days=-2), "version": "2"})
    assert refused.status_code == 422
    assert "Fill this in" in text(refused)
    sent = {"until": local(days=-2), "why": "Vet comes on Friday", "version": "2"}
    assert maud.post(f"{page}snooze/", sent).status_code == 303
    shown = text(maud.get(page))
    assert shown.count("Off the grass since noon") == 1
    for line in ("Made Tobias Wren's.", "Whose it is: Tobias Wren", "by Maud Pell: Vet comes on"):
        assert line in shown.replace("\u2068", "").replace("\u2069", ""), line
    assert "Put it off" in shown


def test_words_in_one_card_of_an_alert_outlive_the_button_of_another(signed_in: SignIn) -> None:
    alert, maud = alarmed(danger_signs=["not_eating"]), signed_in("maud")
    page = f"/alerts/{alert}/"
    said = {"text": "Off the grass since noon", "id": str(cast.ref("said"))}
    owner = {"person": str(cast.ref("tobias")), "version": "1", "next_step": "", "note": ""}
    # The enter key presses no card's button: nothing is saved, and nothing is lost.
    asked = maud.post(page, {**owner, **said})
    assert "Nothing was saved yet." in text(asked)
    assert f'value="{owner["person"]}" selected' in asked.content.decode()
    done = maud.post(f"{page}assign/", {**owner, **said})
    assert (done.status_code, "Saved. What else you typed" in text(done)) == (200, True)
    shown = text(done).replace("\u2068", "").replace("\u2069", "")
    assert "Whose it is: Tobias Wren" in shown
    for kept in ("Off the grass since noon</textarea>", f'name="id" value="{said["id"]}"'):
        assert kept in done.content.decode(), kept
    refused = maud.post(f"{page}acknowledge/", {**owner, **said, "version": "2"})
    assert refused.status_code == 422
    assert "Off the grass since noon</textarea>" in refused.content.decode()
    assert maud.post(f"{page}comment/", {**owner, **said, "version": "2"}).status_code == 303
    assert "Off the grass since noon" in text(maud.get(page))


def test_what_protects_life_offers_no_putting_off(signed_in: SignIn) -> None:
    alert = alarmed(danger_signs=["not_eating"])
    assert "Put it off" not in text(signed_in("isolde").get(f"/alerts/{alert}/"))


def test_a_ladder_climbed_in_vain_is_flagged_on_every_page_but_its_own(
    signed_in: SignIn,
) -> None:
    alert = alarmed(danger_signs=["not_eating"])
    now = datetime.now(UTC)
    for minutes in (31, 62):
        timers.run_due(now=now + timedelta(minutes=minutes))
    said = "Everybody has been told of this alert, and nobody has answered."
    for path in ("/", "/horses/", "/help/", URGENT):
        answer = signed_in("isolde").get(path)
        assert f"{bidi.isolated('Teasel')}: danger signs. {said}" in text(answer), path
        assert f'href="/alerts/{alert}/"' in answer.content.decode()
    assert said in text(signed_in("keziah").get("/")), "a vet in scope reads it too"
    assert said not in text(signed_in("maud").get("/horses/"))
    assert said not in text(signed_in("isolde").get(f"/alerts/{alert}/")), "it stands there"
    step = {"next_step": "Vet on her way", "version": "2"}
    assert signed_in("isolde").post(f"/alerts/{alert}/acknowledge/", step).status_code == 303
    assert said not in text(signed_in("isolde").get("/"))


def test_an_alert_s_page_costs_the_same_however_much_was_done_and_said(signed_in: SignIn) -> None:
    alert = alarmed(danger_signs=["not_eating"])
    isolde, counted = signed_in("isolde"), []
    isolde.get("/")
    for upto in (10, 20):
        for n in range(upto - 10, upto):
            made = Asker("tobias").post(f"alerts/{alert}/comments/", {"text": f"Seen {n}"})
            assert made.status_code == 201
            step = {"next_step": f"Looked at again {n}", "by": ahead(minutes=90)}
            assert Asker("keziah").post(f"alerts/{alert}/acknowledge/", step).status_code == 200
        with CaptureQueriesContext(connection) as seen:
            shown = text(isolde.get(f"/alerts/{alert}/"))
        assert f"Seen {upto - 1}" in shown
        assert f"Looked at again {upto - 1}" in shown
        counted.append(len(seen))
    assert counted[0] == counted[1]
    with isolation.of(viewer_of("isolde")):
        assert AlertAct.objects.count() == 40
        assert Timer.objects.filter(kind="follow_up", due_at__isnull=False).count() == 1
