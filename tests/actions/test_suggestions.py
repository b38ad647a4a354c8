"""What findings suggest is kept beside the score: made by us, once, and no part of it."""

from collections.abc import Callable
from contextlib import AbstractContextManager
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
import uuid_utils.compat as uuid_utils

from scoring.actions import assessments
from scoring.models import Assessment
from scoring.rules import suggestion
from tests import cast, readings
from yards.models import Horse
from yards.rules import errors
from yards.rules.roles import Viewer

Inside = Callable[..., AbstractContextManager[Viewer]]
NOW = datetime(2026, 4, 12, 8, 40, tzinfo=UTC)
FOUND = {"ribs": "firm_pressure", "spine": "nearly_flat"}


def raw(**facts: Any) -> dict[str, Any]:
    return readings.raw("Teasel", NOW, "3", "3.5", "3", **facts)


def test_it_is_kept_beside_a_score_that_says_something_else(inside: Inside) -> None:
    with inside("maud") as viewer:
        answer = assessments.record_assessment(viewer, raw(findings=FOUND), now=NOW)
        row = Assessment.objects.get(ref=answer.id)
    [place] = row.suggestion["places"]
    assert (place["place"], place["low"], place["high"]) == ("back_and_ribs", "4.0", "4.5")
    assert row.suggestion["version"] == suggestion.version()
    assert answer.suggestion == row.suggestion
    # The hand said 3.5 and stands: the score, its place and its alerts are as without findings.
    with inside("maud") as viewer:
        later = NOW + timedelta(hours=1)
        bare = assessments.record_assessment(
            viewer, {**raw(), "taken_at": later.isoformat()}, now=later
        )
    same = ("regions", "regions_used", "overall", "overall_pelvis_led", "place", "alerts")
    assert [getattr(answer, name) for name in same] == [getattr(bare, name) for name in same]
    assert bare.suggestion == {}


def test_a_stallion_s_crest_is_kept_as_noted_and_not_counted(inside: Inside) -> None:
    with inside("maud") as viewer:
        Horse.objects.filter(ref=cast.ref("Teasel")).update(sex="stallion")
        answer = assessments.record_assessment(viewer, raw(findings={"crest": "slight"}), now=NOW)
    [place] = answer.suggestion["places"]
    assert (place["low"], place["high"]) == (None, None)
    assert [key for key, _ in place["reasons"]] == ["suggest_noted_of_stallion"]


def test_what_was_only_seen_is_suggested_from_as_seen(inside: Inside) -> None:
    with inside("maud") as viewer:
        seen = raw(findings={**FOUND, "rump": "hollow"}, manner="visual", fat_pocket="marked")
        answer = assessments.record_assessment(viewer, seen, now=NOW)
    told = {
        each["place"]: [key for key, _ in each["reasons"]] for each in answer.suggestion["places"]
    }
    assert told == {
        "back_and_ribs": ["suggest_seen_alone", "suggest_not_felt", "suggest_pocket_once"],
        "hindquarters": ["suggest_seen_alone"],
    }


def test_a_replay_keeps_the_first_suggestion_when_the_tables_have_changed(
    inside: Inside, monkeypatch: pytest.MonkeyPatch
) -> None:
    sent = raw(id=str(uuid_utils.uuid7()), findings=FOUND)
    with inside("maud") as viewer:
        first = assessments.record_assessment(viewer, sent, now=NOW)
    monkeypatch.setattr(suggestion, "version", lambda: 99)
    with inside("maud") as viewer:
        again = assessments.record_assessment(viewer, sent, now=NOW + timedelta(days=1))
        assert Assessment.objects.count() == 1
    assert again.replayed
    assert again.suggestion == first.suggestion
    assert again.suggestion["version"] != 99


def test_other_findings_under_the_same_id_are_other_content(inside: Inside) -> None:
    sent = raw(id=str(uuid_utils.uuid7()), findings=FOUND)
    with inside("maud") as viewer:
        assessments.record_assessment(viewer, sent, now=NOW)

    def again() -> None:
        with inside("maud") as viewer:
            other = {**sent, "findings": {"ribs": "light_touch"}}
            assessments.record_assessment(viewer, other, now=NOW)

    with pytest.raises(errors.Conflict):
        again()


def test_a_correction_has_its_own_and_the_old_one_stays(inside: Inside) -> None:
    with inside("maud") as viewer:
        old = assessments.record_assessment(viewer, raw(findings=FOUND), now=NOW)
    with inside("maud") as viewer:
        right = raw(findings={"ribs": "light_touch"}, reason="Misread the sheet")
        new = assessments.correct_assessment(viewer, old.id, right, now=NOW + timedelta(hours=1))
        kept = Assessment.objects.get(ref=old.id).suggestion
    assert kept == old.suggestion
    [place] = new.suggestion["places"]
    assert (place["low"], place["high"]) == ("2.0", "3.5")


def test_nobody_sends_a_suggestion_of_their_own(inside: Inside) -> None:
    def sent() -> None:
        with inside("maud") as viewer:
            own = raw(findings=FOUND, suggestion={"version": 2, "places": []})
            assessments.record_assessment(viewer, own, now=NOW)

    with pytest.raises(errors.Invalid) as caught:
        sent()
    assert [(each.field, each.key) for each in caught.value.errors] == [
        ("suggestion", "unknown_field")
    ]
