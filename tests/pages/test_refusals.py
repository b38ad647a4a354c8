"""What is refused is refused by a page of ours, in words, and no cache keeps any page."""

from collections.abc import Callable
from datetime import UTC, datetime
from typing import Any

import pytest
from django.conf import settings
from django.test import Client

from scoring.actions import alerts as actions
from scoring.actions import assessments
from scoring.models import Assessment
from tests import cast, readings
from yards import clock

SignIn = Callable[[str], Client]
TEASEL = f"/horses/{cast.ref('Teasel')}/score/"


def test_an_address_that_leads_nowhere(signed_in: SignIn) -> None:
    for client in (Client(), signed_in("maud")):
        answer = client.get("/nowhere/")
        assert answer.status_code == 404
        assert "Back to the yard board" in answer.content.decode()


def test_another_organisations_ids_and_unknown_ones_are_told_alike(
    signed_in: SignIn, monkeypatch: pytest.MonkeyPatch
) -> None:
    # A page says what o'clock it is: asked across a minute, two would differ by that.
    now = datetime.now(UTC)
    monkeypatch.setattr(clock, "now", lambda: now)
    client, pages = signed_in("perran"), set()
    for ref in (cast.ref("Teasel"), cast.ref("nobody at all")):
        for path in (f"/horses/{ref}/score/", f"/assessments/{ref}/", f"/alerts/{ref}/"):
            answer = client.get(path, headers={"X-Request-ID": "the-same-each-time"})
            assert answer.status_code == 404
            pages.add(answer.content)
    assert len(pages) == 1


def test_a_form_from_elsewhere_is_refused(signed_in: SignIn, inside: Any) -> None:
    signed = signed_in("maud")
    client = Client(enforce_csrf_checks=True)
    client.cookies = signed.cookies
    answer = client.post(TEASEL, {"scale": "five"})
    assert answer.status_code == 403
    assert "Nothing has been changed" in answer.content.decode()
    with inside("isolde"):
        assert not Assessment.objects.exists()


@pytest.mark.parametrize("limit", [settings.API_MAX_BODY, settings.DATA_UPLOAD_MAX_MEMORY_SIZE])
def test_a_body_over_the_limit(signed_in: SignIn, inside: Any, limit: int) -> None:
    body = b"note=" + b"a" * limit
    form = "application/x-www-form-urlencoded"
    answer = signed_in("maud").post(TEASEL, body, content_type=form)
    assert answer.status_code == 413
    assert "too much at once" in answer.content.decode()
    with inside("isolde"):
        assert not Assessment.objects.exists()


def test_the_first_and_last_day_of_the_calendar_are_no_accident(signed_in: SignIn) -> None:
    for at in ("0001-01-01T00:00", "9999-12-31T23:59"):
        answer = signed_in("maud").post(TEASEL, {"scale": "five", "taken_at": at})
        assert answer.status_code == 422
        assert at in answer.content.decode()


def test_no_cache_keeps_a_page(signed_in: SignIn) -> None:
    client = signed_in("maud")
    for path in ("/", TEASEL, "/alerts/", f"/assessments/{cast.ref('none')}/"):
        assert "no-store" in client.get(path).headers["Cache-Control"]


def test_an_alert_that_changed_meanwhile_keeps_what_was_typed(
    signed_in: SignIn, inside: Any
) -> None:
    now = datetime.now(UTC)
    with inside("maud") as viewer:
        raw = readings.raw("Teasel", now, "1", "1", "1")
        ref = assessments.record_assessment(viewer, raw, now=now).alerts[0].id
    client = signed_in("tobias")
    with inside("isolde") as viewer:
        actions.acknowledge(viewer, ref, {"next_step": "Vet at noon"}, now=now)
    sent = {"next_step": "I ring the vet", "by": "", "note": "No answer yet", "version": "1"}
    answer = client.post(f"/alerts/{ref}/acknowledge/", sent)
    page = answer.content.decode()
    assert answer.status_code == 409
    assert "No answer yet" in page
    assert "Vet at noon" in page
    assert 'name="version" value="2"' in page


def test_a_form_saved_before_with_other_content_is_told_so(signed_in: SignIn, inside: Any) -> None:
    now = datetime.now(UTC)
    raw = readings.raw("Teasel", now, "3", "3", "3")
    with inside("maud") as viewer:
        first = assessments.record_assessment(viewer, raw, now=now)
    sent = {
        "id": str(first.id),
        "scale": "five",
        "manner": "palpated",
        "taken_at": f"{now:%Y-%m-%dT%H:%M}",
        "regions.neck_and_shoulder": "4.0",
        "regions.back_and_ribs": "4.0",
        "regions.hindquarters": "4.0",
        "note": "A second thought",
    }
    answer = signed_in("maud").post(TEASEL, sent)
    assert answer.status_code == 409
    assert "A second thought" in answer.content.decode()
    with inside("isolde"):
        assert Assessment.objects.count() == 1
