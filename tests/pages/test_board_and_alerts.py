"""The board tells each role what is theirs; alerts are read, taken on and closed on pages."""

from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from scoring.actions import assessments, standing
from scoring.models import Alert
from tests import cast, factories, readings
from yards.models import Entry, Yard

SignIn = Callable[[str], Client]


@pytest.fixture
def alerted(inside: Any) -> str:
    """Teasel is emaciated today; return the alert's page."""
    now = datetime.now(UTC)
    with inside("maud") as viewer:
        raw = readings.raw("Teasel", now, "1", "1", "1")
        answer = assessments.record_assessment(viewer, raw, now=now)
    return f"/alerts/{answer.alerts[0].id}/"


def test_each_role_sees_its_yards_and_no_more(signed_in: SignIn) -> None:
    seen = {
        key: signed_in(key).get("/").content.decode()
        for key in ("isolde", "maud", "hollis", "perran")
    }
    assert "Marram" in seen["isolde"]
    assert "Marram" not in seen["maud"]
    assert "Teasel" in seen["maud"]
    assert "Teasel" not in seen["perran"]
    assert "Gorse" in seen["perran"]
    assert "/score/" in seen["maud"]
    assert "/score/" not in seen["hollis"]
    for page in seen.values():
        assert "A condition score describes fat cover. It is not a diagnosis." in page


def test_a_yard_out_of_scope_is_not_found(signed_in: SignIn) -> None:
    client = signed_in("maud")
    assert client.get(f"/?yard={cast.ref('Top Barn')}").status_code == 200
    for other in (cast.ref("Nether Paddocks"), cast.ref("Larchgill Yard"), "nonsense"):
        assert client.get(f"/?yard={other}").status_code == 404


def test_the_board_asks_as_many_questions_for_twenty_horses_as_for_ten(
    signed_in: SignIn, inside: Any
) -> None:
    client = signed_in("isolde")
    client.get("/")  # the session takes note of its organisation once
    counts = []
    for _ in range(2):
        with inside("isolde") as viewer:
            yard = Yard.objects.get(ref=cast.ref("Top Barn"))
            for _ in range(10):
                horse: Any = factories.HorseFactory(  # type: ignore[no-untyped-call]
                    organisation_id=viewer.organisation, yard=yard
                )
                standing.make(viewer, horse, datetime.now(UTC))
        with CaptureQueriesContext(connection) as queries:
            assert client.get("/").status_code == 200
        counts.append(len(queries))
    assert counts[0] == counts[1]


def test_an_auditors_look_is_entered_in_the_record(signed_in: SignIn, inside: Any) -> None:
    signed_in("hollis").get("/")
    with inside("isolde"):
        assert Entry.objects.filter(verb="read", actor=f"person:{cast.ref('hollis')}").exists()


def test_an_alert_is_read_taken_on_and_closed_in_the_vets_words(
    signed_in: SignIn, alerted: str
) -> None:
    board = signed_in("isolde").get("/").content.decode()
    assert "Call the vet" in board
    assert "tel:01632960118" in board.replace("tel:+44", "tel:0").replace("%20", "")
    client = signed_in("isolde")
    page = client.get(alerted).content.decode()
    assert "01632 960118" in page
    assert "What it does not know" in page
    for unsaid in ("Whether it is ill.", "Teeth and worms.", "When it last ate, and what."):
        assert unsaid in page
    empty = client.post(f"{alerted}acknowledge/", {"note": "Rang twice."})
    assert empty.status_code == 422
    assert "Rang twice." in empty.content.decode()
    step = {"next_step": "Vet on the way.", "by": "", "version": "1"}
    assert client.post(f"{alerted}acknowledge/", step).status_code == 303
    assert "Vet on the way." in client.get(alerted).content.decode()
    assert client.post(f"{alerted}resolve/", {"reason": "Seen to."}).status_code == 422
    said = {"reason": "Seen to.", "vet_said": "Dr Orme is feeding up, plan on the door."}
    assert client.post(f"{alerted}resolve/", said).status_code == 303
    assert "Dr Orme is feeding up" in client.get(alerted).content.decode()


def test_a_next_step_whose_time_has_passed_is_not_told_as_one_to_come(
    signed_in: SignIn, inside: Any, alerted: str
) -> None:
    client = signed_in("isolde")
    step = {"next_step": "Vet on the way.", "by": "", "version": "1"}
    assert client.post(f"{alerted}acknowledge/", step).status_code == 303
    for path in ("/alerts/", alerted, f"/horses/{cast.ref('Teasel')}/"):
        assert "Next step by " in client.get(path).content.decode()
    with inside("isolde"):
        Alert.objects.update(next_step_by=datetime.now(UTC) - timedelta(hours=1))
    for path in ("/alerts/", alerted, f"/horses/{cast.ref('Teasel')}/"):
        page = client.get(path).content.decode()
        assert "that has passed" in page
        assert "Next step by " not in page


def test_an_auditor_and_an_assessor_cannot_close_it(
    signed_in: SignIn, inside: Any, alerted: str
) -> None:
    said = {"reason": "No.", "vet_said": "Nothing."}
    for key, path in (("hollis", "acknowledge"), ("hollis", "resolve"), ("maud", "resolve")):
        assert signed_in(key).post(f"{alerted}{path}/", said).status_code == 403
    assert signed_in("perran").get(alerted).status_code == 404
    assert signed_in("perran").post(f"{alerted}resolve/", said).status_code == 404
    with inside("isolde"):
        assert Alert.objects.get().state == "open"
