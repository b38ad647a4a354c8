"""The main job on real parts: a reading goes in through HTTP; the coordinator's mail has the alert.

Real PostgreSQL, Valkey, gunicorn, Celery worker and beat, SMTP; nothing is called directly.
"""

import json
import time
import urllib.error
import urllib.request
from collections.abc import Callable
from datetime import UTC, date, datetime, timedelta
from typing import Any

import uuid_utils.compat as uuid_utils

from scoring.models import Notice, Timer
from tests import cast, mailbox, readings
from tests.conftest import viewer_of
from tests.journeys.conftest import Home
from yards import isolation
from yards.models import Yard

LONGEST = 20.0  # seconds to wait for mail before the test fails; it takes about one


def ask(home: Home, key: str, method: str, path: str, body: Any = None) -> tuple[int, Any]:
    request = urllib.request.Request(
        f"{home.url}/api/v1/{path}",
        method=method,
        data=json.dumps(body).encode() if body is not None else None,
        headers={
            "Authorization": f"Token {cast.token(key)}",
            "Content-Type": "application/json",
        },
    )
    try:
        with urllib.request.urlopen(request, timeout=10) as answer:
            return answer.status, json.load(answer)
    except urllib.error.HTTPError as error:
        return error.code, json.load(error)


def until(true: Callable[[], object]) -> None:
    end = time.monotonic() + LONGEST
    while not true():
        assert time.monotonic() < end, "nothing came in time"
        time.sleep(0.1)


def spring_encloses(day: date) -> None:
    """Let Top Barn's spring enclose a day, as its coordinator might set it."""
    first, last = day - timedelta(days=30), day + timedelta(days=30)
    with isolation.of(viewer_of("isolde")):
        Yard.objects.filter(ref=cast.ref("Top Barn")).update(
            spring_first=f"{first:%m-%d}", spring_last=f"{last:%m-%d}"
        )


def test_a_reading_goes_in_and_the_right_people_are_told(home: Home) -> None:
    now = datetime.now(UTC)
    spring_encloses(now.date())
    ref = str(uuid_utils.uuid7())
    raw = readings.raw("Teasel", now, "3.5", "5", "4", id=ref)

    status, answer = ask(home, "maud", "POST", "assessments/", raw)
    assert status == 201
    assert (answer["overall"], answer["overall_nearest_half"]) == ("4.17", "4.0")
    assert (answer["fattest_regions"], answer["place"]) == (["back_and_ribs"], "above")
    assert [alert["rule"] for alert in answer["alerts"]] == ["fat_in_spring"]

    until(lambda: home.mail.to("isolde@example.org"))
    [mail] = home.mail.to("isolde@example.org")
    text, html = (mailbox.text_of(mail, kind) for kind in ("plain", "html"))
    for body in (text, html):
        assert "Teasel" in body
        assert "4.17" in body
        for number in ("01632 960118", "01632 960144", "01632 960171"):
            assert number in body
        assert "A condition score describes fat cover. It is not a diagnosis." in body
    assert "vet" in text.lower()
    assert 'href="tel:' in html
    assert not home.mail.to("perran@example.org")

    # The same again, as a phone that lost the answer would send it: one row, no second mail.
    status, again = ask(home, "maud", "POST", "assessments/", raw)
    assert (status, again) == (200, answer)

    # A vet adds an assessment; an auditor sees it all and changes nothing; others see nothing.
    second = readings.raw("Teasel", now, "4", "4.5", "4")
    assert ask(home, "keziah", "POST", "assessments/", second)[0] == 201
    status, seen = ask(home, "hollis", "GET", f"assessments/?horse={cast.ref('Teasel')}")
    assert (status, len(seen["results"])) == (200, 2)
    assert ask(home, "hollis", "POST", "assessments/", second)[0] == 403
    assert ask(home, "perran", "GET", f"assessments/{ref}/")[0] == 404

    # Acknowledging names the next step; the escalation is called off and the follow-up set.
    alert = answer["alerts"][0]["id"]
    step = {"next_step": "Ferrow Vets visit on Friday."}
    status, taken = ask(home, "isolde", "POST", f"alerts/{alert}/acknowledge/", step)
    assert (status, taken["state"]) == (200, "acknowledged")
    with isolation.of(viewer_of("isolde")):
        kinds = Timer.objects.filter(due_at__isnull=False, alert__ref=alert)
        assert set(kinds.values_list("kind", flat=True)) == {"follow_up"}
        assert Notice.objects.filter(kind="alert").count() == 1
    assert len(home.mail.to("isolde@example.org")) == 1
