"""The organisation's choice of an overall: made on a page, read on a score, moving nothing else."""

from collections.abc import Callable
from datetime import UTC, datetime
from typing import Any

from django.test import Client

from scoring.actions import assessments
from scoring.models import Standing
from tests import cast, readings

SignIn = Callable[[str], Client]
HERE, TEASEL = "/organisation/", f"/horses/{cast.ref('Teasel')}/"


def text(client: Client, path: str) -> str:
    return " ".join(client.get(path).content.decode().split())


def scored(inside: Any) -> str:
    """Teasel at 3.5, 5 and 4: a mean of 4.17, pelvis-led 4½. Returns the answer's address."""
    now = datetime.now(UTC)
    with inside("tobias") as viewer:
        raw = readings.raw("Teasel", now, "3.5", "5", "4")
        return f"/assessments/{assessments.record_assessment(viewer, raw, now=now).id}/"


def test_a_coordinator_finds_it_from_the_yards_and_changes_it(signed_in: SignIn) -> None:
    isolde = signed_in("isolde")
    assert f'href="{HERE}"' in text(isolde, "/yards/")
    assert f'href="{HERE}"' not in text(signed_in("maud"), "/yards/")
    assert 'value="mean" checked' in text(isolde, HERE)
    answer = isolde.post(HERE, {"overall_rule": "pelvis_led", "version": "1"})
    assert (answer.status_code, answer.headers["Location"]) == (303, HERE)
    assert 'value="pelvis_led" checked' in text(isolde, HERE)
    record = text(isolde, "/record/")
    assert "Isolde Kerr changed the organisation&#x27;s settings" in record


def test_a_stale_form_comes_back_with_its_reason(signed_in: SignIn) -> None:
    isolde = signed_in("isolde")
    isolde.post(HERE, {"overall_rule": "pelvis_led", "version": "1"})
    stale = isolde.post(HERE, {"overall_rule": "mean", "version": "1"})
    assert stale.status_code == 409
    bad = isolde.post(HERE, {"overall_rule": "loudest", "version": "2"})
    assert bad.status_code == 422
    assert 'id="overall_rule-fault"' in bad.content.decode()


def test_the_other_overall_stands_first_where_it_is_chosen_and_both_are_always_shown(
    signed_in: SignIn, inside: Any
) -> None:
    path, isolde = scored(inside), signed_in("isolde")
    before = text(isolde, path)
    assert '<p class="big"><span class="vh">Overall </span>4.17</p>' in before
    assert "overall, nearest half 4" in before
    assert "Pelvis-led 4½ (Carroll and Huntington 1988): the score of the hindquarters" in before
    assert "of 0 to 5; pelvis-led 4½" in text(isolde, TEASEL)
    isolde.post(HERE, {"overall_rule": "pelvis_led", "version": "1"})
    after = text(isolde, path)
    assert '<p class="big"><span class="vh">Overall </span>4½</p>' in after
    assert "overall, pelvis-led" in after
    assert "Mean of the three 4.17, nearest half 4: band, alerts and trend go by it." in after
    assert "of 0 to 5, pelvis-led; mean 4.17" in text(isolde, TEASEL)
    # Where it lies and what it set off are said as before.
    for told in ("1 point above target band", "Target band 2 to 3"):
        assert told in before
        assert told in after


def test_the_choice_moves_neither_place_nor_standing(signed_in: SignIn, inside: Any) -> None:
    def held() -> tuple[object, ...]:
        with inside("isolde"):
            found = Standing.objects.get(horse__ref=cast.ref("Teasel"))
            return found.place, found.level, found.open_alerts, found.score_due_at

    scored(inside)
    before = held()
    signed_in("isolde").post(HERE, {"overall_rule": "pelvis_led", "version": "1"})
    assert held() == before
