"""The vet's desk: an order given, a question answered, and the way back to the visit."""

import re
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from typing import Any
from urllib.parse import quote, urlsplit
from zoneinfo import ZoneInfo

import pytest
from django.test import Client

from scoring.actions import questions, vet_orders
from scoring.models import VetOrder
from tests import cast
from tests.pages.test_horse_pages import text
from tests.pages.test_visit import ASKED, DAY, score, words
from yards.actions import events

SignIn = Callable[[str], Client]
TEASEL = f"/horses/{cast.ref('Teasel')}/"
ORDER = f"{TEASEL}order/"
VISIT = "/visit/"
ON_THE_VISIT = f'href="/visit/?yard={cast.ref("Top Barn")}#horse-{cast.ref("Teasel")}"'


def order(inside: Any, days: int, **facts: Any) -> Any:
    now = datetime.now(UTC)
    raw = {"reason": "After colic", "until": (now + days * DAY).isoformat(), **facts}
    with inside("keziah") as viewer:
        return vet_orders.give_vet_order(viewer, cast.ref("Teasel"), raw, now=now)


def typed(days: int, **facts: str) -> dict[str, str]:
    on = datetime.now(ZoneInfo("Europe/London")) + timedelta(days=days)
    return {"until": f"{on:%Y-%m-%d}", "reason": "Feeding up", **facts}


def ask(inside: Any) -> Any:
    with inside("maud") as viewer:
        return questions.ask(viewer, cast.ref("Teasel"), ASKED, now=datetime.now(UTC))


def test_the_order_form_says_what_stands_and_which_of_two(signed_in: SignIn, inside: Any) -> None:
    keziah = signed_in("keziah")
    bare = words(keziah, ORDER)
    assert bare.count("By the house's own rules.") == 3
    order(inside, 40, band={"low": "2.0", "high": "2.5"}, weight_days=7)
    order(inside, 20, band={"low": "3.0", "high": "3.5"})
    page = words(keziah, ORDER)
    assert re.search(r"Target band 3 to 3½ By the order of Dr Keziah Orme, until", page)
    assert re.search(r"Weigh Every 7 days By the order of Dr Keziah Orme", page)
    assert "a newer order stands before it: target band 2 to 2½, by Dr Keziah Orme" in page
    assert "takes the place of this from the moment you save it" in page


def test_an_order_lasts_to_the_end_of_its_day_in_the_yard(signed_in: SignIn, inside: Any) -> None:
    keziah = signed_in("keziah")
    assert re.search(r'<input class="in" type="date" name="until"', text(keziah, ORDER))
    sent = typed(20, score_days="7")
    assert keziah.post(ORDER, sent).status_code == 303
    with inside("keziah"):
        until = VetOrder.objects.get().until_at.astimezone(ZoneInfo("Europe/London"))
    assert f"{until:%Y-%m-%d %H:%M:%S}" == f"{sent['until']} 23:59:59"


@pytest.mark.parametrize("until", ["24.12.2099", "2020-01-01", ""])
def test_a_refused_order_keeps_all_that_was_typed(signed_in: SignIn, until: str) -> None:
    sent = {"until": until, "reason": "Feeding up", "score_days": "7", "band.low": "3.0"}
    answer = signed_in("keziah").post(ORDER, sent)
    assert answer.status_code == 422
    kept = answer.context["sent"].values
    assert {name: kept[name] for name in sent} == sent
    page = answer.content.decode()
    assert "With its time and offset" not in page
    assert ('value="' + until + '"') in page
    assert "What stands now" in page


def test_a_saved_order_leads_back_to_the_visit_and_stands_there(
    signed_in: SignIn, inside: Any
) -> None:
    keziah = signed_in("keziah")
    since = (datetime.now(UTC) - 40 * DAY).date().isoformat()
    listed = text(keziah, f"{VISIT}?since={since}")
    [way] = set(re.findall(rf'href="({ORDER}\?back=[^"]+)"', listed))
    form = text(keziah, way)
    assert "Back to the visit" in form
    done = keziah.post(way, typed(20, **{"band.low": "3.0", "band.high": "3.5"}))
    went = urlsplit(done["Location"])
    assert (went.path, went.netloc) == (VISIT, "")
    assert f"since={since}" in went.query
    assert went.fragment == f"horse-{cast.ref('Teasel')}"
    page = text(keziah, f"{went.path}?{went.query}")
    [card] = re.findall(rf'<li class="horse" id="{went.fragment}">.*?</li>\n', page, re.S)
    assert "Target band 3 to 3½, set by Dr Keziah Orme until" in card
    assert "In force now for Teasel: target band 3 to 3½, until" in page
    assert "In force now" not in text(signed_in("isolde"), f"{went.path}?{went.query}")


def test_the_way_back_is_a_page_of_this_host_and_no_other(signed_in: SignIn) -> None:
    keziah = signed_in("keziah")
    for elsewhere in (
        "https://example.org/visit/",
        "//example.org/visit/",
        "/\\example.org/visit/",
        "javascript:alert(1)",
        "/accounts/logout/",
        "/visit/../accounts/logout/",
        "/nowhere/",
        "/visit/?" + "a" * 600,
    ):
        way = f"{ORDER}?back={quote(elsewhere, safe='')}"
        page = text(keziah, way)
        assert f'<a class="back noprint" href="{TEASEL}">' in page, elsewhere
        done = keziah.post(way, typed(20, score_days="7"))
        assert done["Location"].startswith(f"{TEASEL}?saved=order."), elsewhere


def test_an_answer_is_confirmed_in_words_where_one_came_from(
    signed_in: SignIn, inside: Any
) -> None:
    ask(inside)
    keziah = signed_in("keziah")
    [way] = set(re.findall(r'href="(/questions/[^"]+/answer/\?back=[^"]+)"', text(keziah, VISIT)))
    done = keziah.post(way, {"text": "Yes, from the elbow down."})
    assert done["Location"].startswith(f"{VISIT}?saved=answer.")
    page = words(keziah, done["Location"].partition("#")[0])
    assert "Your answer about Teasel stands, for staff to read: “Yes, from the elbow down.”" in page
    assert "Saved." in page


def test_a_horse_page_confirms_and_offers_the_visit(signed_in: SignIn) -> None:
    keziah, maud = signed_in("keziah"), signed_in("maud")
    done = keziah.post(ORDER, typed(20, score_days="7"))
    page = text(keziah, done["Location"])
    assert "In force now for Teasel: score every 7 days" in page
    assert ON_THE_VISIT in page
    theirs = text(maud, done["Location"])
    assert "In force now" not in theirs
    # How to ask is said to whoever may, in the words of what is pressed.
    assert ("Ask the vet”, above" in theirs, "Ask the vet”, above" in page) == (True, False)
    for odd in ("order.", "order.1", f"order.{cast.ref('Gorse')}", "other.1"):
        assert "In force now" not in text(keziah, f"{TEASEL}?saved={odd}")


def test_a_visit_that_somebody_noted_is_the_last_visit(signed_in: SignIn, inside: Any) -> None:
    at = datetime.now(UTC) - 12 * DAY
    with inside("maud") as viewer:
        raw = {"kind": "vet_visited", "at": at.isoformat()}
        events.record_event(viewer, cast.ref("Teasel"), raw, now=datetime.now(UTC))
    for key in ("keziah", "isolde"):
        page = words(signed_in(key), f"{VISIT}?yard={cast.ref('Top Barn')}")
        assert f"Changes since the last visit: {at.day} {at:%b %Y}" in page


def test_an_open_question_is_not_folded_away(signed_in: SignIn, inside: Any) -> None:
    weighing = {"method": "weighbridge", "weight_kg": "470"}
    score(inside, 1, "2.5", weighing=weighing)
    keziah, card = signed_in("keziah"), f'id="horse-{cast.ref("Teasel")}"'
    assert card in text(keziah, VISIT).partition('<details class="work nothing_to_do"')[2]
    ask(inside)
    before, _, folded = text(keziah, VISIT).partition('<details class="work nothing_to_do"')
    assert card in before
    assert "A question is open" in before
    assert card not in folded


def test_a_weight_is_told_as_read_and_as_a_level(signed_in: SignIn, inside: Any) -> None:
    for days, kg in ((60, "480.0"), (30, "470.0"), (2, "455.5")):
        weighing = {"method": "weighbridge", "weight_kg": kg}
        score(inside, days, "3", weighing=weighing)
    page = words(signed_in("keziah"), VISIT)
    assert re.search(r"Last reading 455\.5 kg, weighbridge, on ", page)
    level = re.search(r"Level by all readings (\d+\.\d) kg\.", page)
    assert level is not None
    assert level[1] != "455.5"


def test_a_vet_is_not_told_to_phone_the_vet(signed_in: SignIn, inside: Any) -> None:
    made = score(inside, 1, "3.5", danger_signs=["not_eating"])
    vet, staff = signed_in("keziah"), signed_in("isolde")
    alert = f"/alerts/{made.alerts[0].id}/"
    for path in (VISIT, alert):
        mine, theirs = words(vet, path), words(staff, path)
        assert "Phone Ferrow Vets" in theirs
        assert "Phone Ferrow Vets" not in mine
        assert "This yard rings Ferrow Vets , day line 01632 960118" in mine
        assert "Nobody else is called." in mine
    assert "A vet is needed now" in words(vet, VISIT)
    assert "Call the vet" in words(staff, VISIT)
    result = f"/assessments/{made.id}/"
    assert (ON_THE_VISIT in text(vet, result), ON_THE_VISIT in text(staff, result)) == (True, False)
