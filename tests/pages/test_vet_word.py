"""A vet's word beside an alert: shown and offered, and no acknowledgement by itself."""

import re
from collections.abc import Callable
from datetime import UTC, datetime
from typing import Any

from django.test import Client

from scoring.actions import questions, vet_orders
from scoring.models import Alert
from tests import cast
from tests.pages.test_horse_pages import text
from tests.pages.test_visit import ASKED, DAY, score, words

SignIn = Callable[[str], Client]
TEASEL = cast.ref("Teasel")
SAID = "Walk her in hand. Ring me at six."


def alarmed(inside: Any) -> Any:
    """A danger sign two days ago, on which the ladder has gone up."""
    [alert] = score(inside, 2, "3", danger_signs=["not_eating"]).alerts
    with inside("isolde"):
        Alert.objects.filter(ref=alert.id).update(escalated_at=datetime.now(UTC) - DAY)
    return alert.id


def answer(inside: Any, days: int = 0) -> None:
    now = datetime.now(UTC) - days * DAY
    with inside("maud") as viewer:
        asked = questions.ask(viewer, TEASEL, ASKED, now=now)
    with inside("keziah") as viewer:
        questions.answer(viewer, asked.id, {"text": SAID}, now=now)


def offered(client: Client, path: str) -> str:
    found = re.search(r'name="next_step" id="next_step" value="([^"]*)"', text(client, path))
    assert found is not None
    return found[1]


def test_an_answer_is_shown_and_offered_and_acknowledges_nothing(
    signed_in: SignIn, inside: Any
) -> None:
    ref = alarmed(inside)
    page, maud = f"/alerts/{ref}/", signed_in("maud")
    assert "Nobody answered in time: call the vet." in words(maud, page)
    assert offered(maud, page) == ""
    answer(inside)
    said = words(maud, page)
    assert re.search(rf"Dr Keziah Orme answered on \d+ \w+, \d\d:\d\d: “{SAID}”", said)
    assert ASKED["text"] in said
    assert "Nobody answered in time: call the vet." not in said
    assert "Nobody has acknowledged it yet." in said
    assert offered(maud, page) == f"As Dr Keziah Orme said: {SAID}"
    with inside("isolde"):
        assert Alert.objects.get(ref=ref).state == "open"
    sent = maud.post(f"{page}acknowledge/", {"next_step": offered(maud, page)})
    assert sent.status_code == 303
    with inside("isolde"):
        held = Alert.objects.get(ref=ref)
    assert (held.state, held.next_step) == ("acknowledged", f"As Dr Keziah Orme said: {SAID}")
    assert f"Acknowledged: As Dr Keziah Orme said: {SAID}" in words(maud, page)


def test_what_a_vet_said_before_it_opened_is_no_word_on_it(signed_in: SignIn, inside: Any) -> None:
    answer(inside, days=3)
    page = words(signed_in("maud"), f"/alerts/{alarmed(inside)}/")
    assert SAID not in page
    assert "Nobody answered in time: call the vet." in page


def test_an_order_is_a_vets_word_in_every_list_of_alerts(signed_in: SignIn, inside: Any) -> None:
    ref, now = alarmed(inside), datetime.now(UTC)
    raw = {"score_days": 3, "reason": "Colic", "until": (now + 9 * DAY).isoformat()}
    with inside("keziah") as viewer:
        vet_orders.give_vet_order(viewer, TEASEL, raw, now=now)
    for path in (f"/alerts/{ref}/", f"/horses/{TEASEL}/"):
        assert "Dr Keziah Orme gave an order on" in words(signed_in("isolde"), path)
    for path in ("/alerts/", f"/horses/{TEASEL}/"):
        page = words(signed_in("isolde"), path)
        assert "A vet has spoken since it opened. Nobody has acknowledged it yet." in page
    for key in ("isolde", "keziah"):
        visit = text(signed_in(key), "/visit/")
        assert '<span class="tag escalate">Vet has spoken, not acknowledged</span>' in visit


def test_a_vet_gives_an_order_from_the_alert_and_is_led_back(
    signed_in: SignIn, inside: Any
) -> None:
    page, keziah = f"/alerts/{alarmed(inside)}/", signed_in("keziah")
    [way] = re.findall(r'href="(/horses/[^"]+/order/\?back=[^"]+)"', text(keziah, page))
    sent = {"score_days": "3", "reason": "Colic", "until": "2090-01-01"}
    done = keziah.post(way, sent)["Location"]
    assert done.startswith(f"{page}?saved=order.")
    assert "In force now for Teasel: score every 3 days, until 1 Jan 2090." in words(keziah, done)
    assert "/order/" not in text(signed_in("isolde"), page)
