"""The pages of the risk rules: read by all, previewed before they are saved, excepted from."""

import html
import re
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from django.db.models import QuerySet
from django.test import Client

from scoring.models import Alert, RuleException, RuleSetting
from scoring.rules import threshold
from tests import cast
from tests.api.asking import Asker
from tests.conftest import viewer_of
from tests.doors.scene import assessment, local
from yards import isolation
from yards.models import Owned

SignIn = Callable[[str], Client]
TEASEL = str(cast.ref("Teasel"))
# Half a point above its band, at any time of year.
FAT = {"neck_and_shoulder": "3.5", "back_and_ribs": "3.5", "hindquarters": "3.5"}


def text(answer: Any) -> str:
    """What a page says, without its marks."""
    body = html.unescape(re.sub(r"<[^>]+>", " ", answer.content.decode()))
    return re.sub(r"\s+", " ", body)


def typed(client: Client, path: str, **changes: str) -> dict[str, str]:
    """A form as the page shows it, with what somebody changed in it."""
    page = client.get(path).content.decode()
    found = dict(re.findall(r'<input type="hidden" name="([a-z]+)" value="([^"]*)"', page))
    for name, options in re.findall(r'<select[^>]* name="([^"]+)"[^>]*>(.*?)</select>', page, re.S):
        picked = re.search(r'value="([^"]*)" selected', options)
        found[name] = picked[1] if picked else ""
    found.pop("csrfmiddlewaretoken", None)
    return {**found, **changes}


def previewed(client: Client, path: str, **changes: str) -> dict[str, str]:
    """The form after the first press: what was previewed goes along."""
    sent = typed(client, path, **changes)
    answer = client.post(path, sent, follow=True)
    assert answer.status_code == 200, text(answer)
    mark = re.search(r'name="previewed" value="([^"]*)"', answer.content.decode())
    assert mark is not None
    return {**sent, "previewed": html.unescape(mark[1])}


def kept(table: type[Owned]) -> list[Any]:
    """Every row of a table of the organisation's."""
    with isolation.of(viewer_of("isolde")):
        return list(QuerySet(table).all())


def alert_of(rule: str) -> Alert:
    with isolation.of(viewer_of("isolde")):
        return Alert.objects.get(horse__name="Teasel", rule=rule)


@pytest.fixture
def fat(database: str) -> None:
    """Teasel was felt to be above its band yesterday."""
    at = (datetime.now(UTC) - timedelta(days=1)).isoformat()
    made = Asker("isolde").post("assessments/", assessment(TEASEL, regions=FAT, taken_at=at))
    assert made.status_code == 201, made.content


@pytest.mark.parametrize("reader", ["isolde", "keziah", "maud", "hollis"])
def test_everybody_reads_every_rule_in_words(signed_in: SignIn, reader: str) -> None:
    client = signed_in(reader)
    listed = text(client.get("/rules/"))
    assert "Protects life: never switched off" in listed
    assert re.search("Above its band .{0,80} This week ", listed), "how soon, beside each"
    for rule in threshold.rules():
        page = text(client.get(f"/rules/{rule}/"))
        assert "Who hears of it, and how soon" in page
        assert ("Change this rule" in page) == (reader == "isolde" and rule != "danger_signs")
    fat = client.get("/rules/fat/")
    assert "Overall, to the nearest half, on the 0 to 5 scale" in text(fat)
    for told in ('href="#change"', "the other scales stay as they are", "Set it differently for"):
        assert (told in html.unescape(fat.content.decode())) == (reader == "isolde"), told
    assert client.get("/rules/nothing/").status_code == 404


def test_a_change_is_previewed_on_the_house_s_own_year_and_then_saved(
    signed_in: SignIn, fat: None
) -> None:
    client, path = signed_in("isolde"), "/rules/above_band/"
    asked = {"thresholds.five.above_high_edge": "0.5", "reason": "Our vet asks for it"}
    answer = client.post(path, typed(client, path, **asked), follow=True)
    page = text(answer)
    assert "So set, it would have told No alerts" in page
    assert re.search("As it is set today 1 alert on 1 horse, [01] of them in spring", page)
    assert "Teasel" in page
    assert kept(RuleSetting) == [], "a preview changes nothing"
    sent = previewed(client, path, **asked)
    # What was typed since is previewed anew, never saved unseen.
    other = {**sent, "thresholds.five.above_high_edge": "0.0", "press": "save"}
    assert "Not saved yet: something was changed" in text(client.post(path, other, follow=True))
    assert kept(RuleSetting) == []
    saved = client.post(path, {**sent, "press": "save"}, follow=True)
    assert "Every horse is being judged anew" in text(saved)
    assert "the organisation's own" in text(saved)
    assert "Our vet asks for it" in text(saved)
    stale = client.post(path, {**sent, "press": "save"})
    assert stale.status_code == 409
    assert "Somebody changed this meanwhile" in text(stale)


def test_what_is_wrong_is_said_at_its_field(signed_in: SignIn) -> None:
    client, path = signed_in("isolde"), "/rules/losing_fast/"
    sent = typed(client, path, **{"thresholds.weight.percent_in_60_days": "50"})
    answer = client.post(path, sent)
    assert answer.status_code == 422
    assert "Give a value from 8 to 15" in text(answer)
    assert 'aria-invalid="true"' in answer.content.decode()


def test_an_exception_is_shown_wherever_the_rule_acts(signed_in: SignIn, fat: None) -> None:
    alert = alert_of("above_band")
    client, path = signed_in("keziah"), f"/rules/{alert.rule}/horses/{TEASEL}/"
    assert path in client.get(f"/alerts/{alert.ref}/").content.decode()
    form = {"on": "false", "until": local(days=-30)[:10], "reason": "On a signed plan"}
    sent = previewed(client, path, **form)
    assert kept(RuleException) == []
    assert client.post(path, {**sent, "press": "save"}).status_code == 303
    for page in (f"/alerts/{alert.ref}/", f"/horses/{TEASEL}/", f"/rules/{alert.rule}/"):
        assert "On a signed plan" in text(client.get(page)), page
    page = text(client.get(f"/alerts/{alert.ref}/"))
    assert "As the rule is set now, this alert would not open" in page
    assert "Switched off for this horse now" in page
    [exception] = kept(RuleException)
    ended = client.post(f"/exceptions/{exception.ref}/end/", {"reason": "A mistake"})
    assert ended.status_code == 303
    assert "On a signed plan" not in text(client.get(f"/horses/{TEASEL}/"))
    assert "As the rule is set now" not in text(client.get(f"/alerts/{alert.ref}/"))


def test_the_list_leads_to_an_exception_for_the_horse_it_was_asked_for(signed_in: SignIn) -> None:
    page = signed_in("keziah").get(f"/rules/?horse={TEASEL}").content.decode()
    assert f"/rules/fat/horses/{TEASEL}/" in page
    assert f"/rules/danger_signs/horses/{TEASEL}/" not in page
    assert "/horses/" not in signed_in("maud").get("/rules/").content.decode().split("<table")[1]
    assert (
        f"/rules/?horse={TEASEL}" in signed_in("keziah").get(f"/horses/{TEASEL}/").content.decode()
    )


def test_rules_and_absences_are_led_to_from_where_a_coordinator_looks(signed_in: SignIn) -> None:
    client = signed_in("isolde")
    ways = {
        "/alerts/": ("/rules/", "/escalation/"),
        "/people/": ("/away/",),
        "/yards/": ("/rules/",),
    }
    assert '<a class="back noprint" href="/alerts/">' in client.get("/rules/").content.decode()
    for page, led in ways.items():
        top = client.get(page).content.decode().split("<h1>")[1].split("</div>\n")[0]
        for each in led:
            assert f'href="{each}"' in top, page
    assert 'href="/rules/"' not in signed_in("maud").get("/yards/").content.decode()
