"""A weighing's answer tells what breaks the habit, for good, and formulas are worked out."""

from collections.abc import Callable
from contextlib import AbstractContextManager
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from typing import Any

import pytest
import uuid_utils.compat as uuid_utils
from django.db import connection

from scoring.actions import assessments, instruments, weighings
from scoring.models import Assessor, Weighing
from scoring.queries import weighings as queries
from tests import cast, readings
from tests.actions import record
from yards.models import Entry, Horse
from yards.rules import errors
from yards.rules.roles import Viewer

Inside = Callable[..., AbstractContextManager[Viewer]]
NOW = datetime(2025, 11, 2, 8, 40, tzinfo=UTC)
WEEK = timedelta(days=7)


def weighed(at: datetime = NOW, horse: str = "Teasel", **facts: Any) -> dict[str, Any]:
    plain = {"horse": str(cast.ref(horse)), "taken_at": at.isoformat(), "method": "weigh_tape"}
    return {**plain, "weight_kg": "471", **facts}


def by_formula(at: datetime = NOW, horse: str = "Teasel", **facts: Any) -> dict[str, Any]:
    plain = {"horse": str(cast.ref(horse)), "taken_at": at.isoformat(), "method": "formula"}
    measures = {"girth_cm": "185", "length_cm": "165"}
    return {**plain, "formula": "carroll_huntington_1988", "measures": measures, **facts}


def refused(viewer: Viewer, raw: dict[str, Any]) -> dict[str, str]:
    with pytest.raises(errors.Invalid) as found:
        weighings.record_weighing(viewer, raw, now=NOW)
    return {each.field: each.key for each in found.value.errors}


def keys(answer: queries.WeighingAnswer) -> list[str]:
    return [each.key for each in answer.warnings]


def test_a_formula_s_weight_is_worked_out_with_its_likely_error(inside: Inside) -> None:
    with inside("maud") as viewer:
        answer = weighings.record_weighing(viewer, by_formula(), now=NOW)
        row = Weighing.objects.get(ref=answer.id)
        entry = Entry.objects.get(verb="weighing.recorded")
    assert answer.weight_kg == row.weight_kg == Decimal("474.5")
    assert answer.likely_error_kg == Decimal("50.3")
    assert answer.warnings == ()
    assert entry.target_ref == answer.id


@pytest.mark.parametrize("sent", ["474.5", "474", "475", "474.9"])
def test_a_weight_that_is_sent_agrees_within_rounding(inside: Inside, sent: str) -> None:
    with inside("maud") as viewer:
        answer = weighings.record_weighing(viewer, by_formula(weight_kg=sent), now=NOW)
    assert answer.weight_kg == Decimal(sent)


@pytest.mark.parametrize("sent", ["473.9", "475.1", "549.7", "50"])
def test_a_weight_that_is_not_the_formula_s_is_refused(inside: Inside, sent: str) -> None:
    with inside("maud") as viewer:
        found = refused(viewer, by_formula(weight_kg=sent))
        assert found == {"weight_kg": "weight_unlike_formula"}
        assert not Weighing.objects.exists()


@pytest.mark.parametrize(
    ("changed", "found"),
    [
        ({"formula": "girth and length"}, {"formula": "unknown_formula", "weight_kg": "required"}),
        ({"formula": ""}, {"formula": "required", "weight_kg": "required"}),
        ({"measures": {}}, {"measures": "formula_needs_measures"}),
        ({"measures": {"girth_cm": "185"}}, {"measures.length_cm": "required"}),
        (
            {"measures": {"girth_cm": "73", "length_cm": "165"}},
            {"measures.girth_cm": "looks_like_inches"},
        ),
        (
            {
                "formula": "jones_1989",
                "measures": {"belly_girth_cm": "204", "length_cm": "185"},
            },
            {"measures.length_cm": "length_from_shoulder"},
        ),
        (
            {"horse": "Wagtail"},
            {"formula": "formula_for_species"},
        ),
        (
            {"method": "weighbridge", "tape_side": "left", "formula": "", "weight_kg": "471"},
            {"tape_side": "tape_only_by_tape"},
        ),
        ({"tape_position": "belly"}, {"tape_position": "not_a_choice"}),
    ],
)
def test_what_is_wrong_is_named_at_its_field(
    inside: Inside, changed: dict[str, Any], found: dict[str, str]
) -> None:
    with inside("maud") as viewer:
        assert refused(viewer, by_formula(**changed)) == found


def test_a_weight_by_any_other_method_is_still_required(inside: Inside) -> None:
    with inside("maud") as viewer:
        assert refused(viewer, weighed(weight_kg=None)) == {"weight_kg": "required"}


def test_a_replay_without_a_weight_is_one_row_whatever_became_of_the_horse(inside: Inside) -> None:
    raw = by_formula(id=str(uuid_utils.uuid7()))
    with inside("maud") as viewer:
        first = weighings.record_weighing(viewer, raw, now=NOW)
        # Found out since: it is a foal, and of a kind that measures less.
        Horse.objects.filter(ref=cast.ref("Teasel")).update(
            born="2025-06-01", born_earliest="2025-06-01", kind="miniature"
        )
        again = weighings.record_weighing(viewer, raw, now=NOW + WEEK)
        assert (again.replayed, again.id, again.weight_kg) == (True, first.id, first.weight_kg)
        assert again.likely_error_kg == first.likely_error_kg
        assert Weighing.objects.count() == 1
    other = {**raw, "measures": {"girth_cm": "186", "length_cm": "165"}}
    with inside("maud") as viewer, pytest.raises(errors.Conflict):
        weighings.record_weighing(viewer, other, now=NOW + WEEK)


def test_what_was_sent_before_there_were_tape_fields_is_still_its_replay(inside: Inside) -> None:
    """The digest of a weighing as it was worked out before side and place of the tape."""
    raw = weighed(id=str(uuid_utils.uuid7()))
    with inside("maud") as viewer:
        weighings.record_weighing(viewer, raw, now=NOW)
        digest = bytes(Weighing.objects.get().content_digest)
        said = record.payload_of(Entry.objects.get(verb="weighing.recorded"))
    assert not {"tape_side", "tape_position"} & said.keys()
    assert digest.hex() == digest_before(raw)


def digest_before(raw: dict[str, Any]) -> str:
    from yards.actions import once

    content = {
        "horse": raw["horse"],
        "taken_at": "2025-11-02T08:40:00.000000+00:00",
        "reason": "",
        "method": "weigh_tape",
        "instrument": None,
        "weight_kg": "471",
        "formula": "",
        "measures": {},
        "fed": "",
        "supersedes": None,
    }
    return once.digest(content).hex()


def unlisted(viewer: Viewer) -> Weighing:
    """A row as it was written before there was a list of formulas."""
    made = weighings.record_weighing(viewer, weighed(), now=NOW)
    row = Weighing.objects.get(ref=made.id)
    facts = {each.attname: getattr(row, each.attname) for each in Weighing._meta.concrete_fields}
    facts |= {"ref": uuid_utils.uuid7(), "method": "formula", "formula": "girth and length"}
    facts |= {"measures": {"girth_cm": "171", "length_cm": "150.5"}, "weight_kg": Decimal("385.5")}
    return Weighing.objects.create(**{k: v for k, v in facts.items() if k != "id"})


def test_an_old_row_of_no_listed_formula_can_be_corrected_as_one(inside: Inside) -> None:
    with inside("maud") as viewer:
        old = unlisted(viewer)
        raw = by_formula(formula="girth and length", weight_kg="385", reason="Misread")
        answer = weighings.correct_weighing(viewer, old.ref, raw, now=NOW)
        assert (answer.formula, answer.weight_kg) == ("girth and length", Decimal(385))
        assert answer.likely_error_kg is None
        other = {**raw, "formula": "length and girth"}
        with pytest.raises(errors.Invalid):
            weighings.correct_weighing(viewer, answer.id, other, now=NOW)


def test_a_habit_broken_is_told_in_the_answer_and_kept_with_it(inside: Inside) -> None:
    with inside("isolde") as viewer:
        tapes = [
            instruments.add_instrument(viewer, {"kind": "weigh_tape", "label": label}, now=NOW).id
            for label in ("Blue tape", "Red tape")
        ]
    how = {"instrument": str(tapes[0]), "fed": "before_feed", "tape_side": "left"}
    how["tape_position"] = "foot_of_withers"
    with inside("maud") as viewer:
        for week in range(3):
            at = NOW + WEEK * week
            assert keys(weighings.record_weighing(viewer, weighed(at, **how), now=at)) == []
        at = NOW + WEEK * 3 + timedelta(hours=8)
        other = {"instrument": str(tapes[1]), "fed": "after_feed", "tape_side": "right"}
        other["tape_position"] = "top_of_withers"
        answer = weighings.record_weighing(viewer, weighed(at, **other), now=at)
    assert keys(answer) == [
        "habit_hour",
        "habit_fed",
        "habit_instrument",
        "habit_side",
        "habit_position",
    ]
    with inside("maud") as viewer:
        assert queries.get_weighing(viewer, answer.id).warnings == answer.warnings
        assert (answer.tape_side, answer.tape_position) == ("right", "top_of_withers")


def test_a_correction_is_not_held_against_what_it_corrects(inside: Inside) -> None:
    with inside("maud") as viewer:
        made = [
            weighings.record_weighing(viewer, weighed(NOW + WEEK * n), now=NOW + WEEK * n)
            for n in range(3)
        ]
        at = NOW + WEEK * 2 + timedelta(hours=9)
        raw = weighed(at, reason="It was the evening")
        answer = weighings.correct_weighing(viewer, made[2].id, raw, now=at)
    assert keys(answer) == [], "two others are no habit yet"


def test_a_weight_with_an_assessment_is_told_too(inside: Inside) -> None:
    with inside("maud") as viewer:
        for week in range(3):
            at = NOW + WEEK * week
            weighings.record_weighing(viewer, weighed(at), now=at)
        at = NOW + WEEK * 3 + timedelta(hours=8)
        raw = readings.raw("Teasel", at, "2.5", "3", "2.5")
        raw["weighing"] = {"method": "weigh_tape", "weight_kg": "470"}
        answer = assessments.record_assessment(viewer, raw, now=at)
    assert answer.weighing is not None
    assert keys(answer.weighing) == ["habit_hour"]


def test_an_assessment_s_weight_by_formula_is_worked_out(inside: Inside) -> None:
    with inside("maud") as viewer:
        raw = readings.raw("Teasel", NOW, "2.5", "3", "2.5", id=str(uuid_utils.uuid7()))
        measures = {"girth_cm": "185", "length_cm": "165"}
        formula = {"method": "formula", "formula": "carroll_huntington_1988"}
        raw["weighing"] = {**formula, "measures": measures}
        answer = assessments.record_assessment(viewer, raw, now=NOW)
        assert answer.weighing is not None
        assert answer.weighing.weight_kg == Decimal("474.5")
        assert assessments.record_assessment(viewer, raw, now=NOW + WEEK).replayed
        assert Assessor.objects.count() == 1
    raw["weighing"] = {**formula, "measures": {"girth_cm": "73", "length_cm": "165"}}
    with inside("maud") as viewer, pytest.raises(errors.Invalid) as found:
        assessments.record_assessment(viewer, {**raw, "id": None}, now=NOW)
    assert [each.field for each in found.value.errors] == ["weighing.measures.girth_cm"]


def test_a_row_written_by_the_old_code_has_nothing_odd(inside: Inside) -> None:
    """The columns' defaults are the database's: code of before names none of them."""
    with inside("maud") as viewer:
        made = weighings.record_weighing(viewer, weighed(), now=NOW)
        row = Weighing.objects.get(ref=made.id)
        own = {"id", "ref", "tape_side", "tape_position", "likely_error_kg", "warnings"}
        names = [str(each.column) for each in Weighing._meta.concrete_fields]
        names = [each for each in names if each not in own]
        listed = ", ".join(names)
        with connection.cursor() as cursor:
            cursor.execute(
                f"INSERT INTO scoring_weighing (ref, {listed}) "  # noqa: S608 - our own columns
                f"SELECT gen_random_uuid(), {listed} FROM scoring_weighing WHERE id = %s",
                [row.id],
            )
        copy = Weighing.objects.exclude(id=row.id).get()
        assert (copy.tape_side, copy.tape_position, copy.warnings) == ("", "", [])
        assert copy.likely_error_kg is None
