"""Thresholds as an organisation's data: safe limits, named faults, and rules switched off."""

from dataclasses import replace
from decimal import Decimal
from typing import Any

import pytest

from scoring.rules import keys, risk, risk_keys, scale, seen, threshold
from tests.rules.animals import NOW, WINTER, facts, five, names, whole
from yards.rules import errors, fixture

ROWS = fixture.load("risk_rules")["rules"]
UNITS = {"halves", "percent", "kg", "points", "share", "days"}
SCALES = {*scale.SCALES, scale.CREST, "weight", "share", "days"}


def test_every_rule_has_its_row_and_its_words_and_in_one_family() -> None:
    assert set(threshold.rules()) == set(risk.RULES)
    assert set(risk_keys.NOT_KNOWN) == {key for row in ROWS for key in row["does_not_know"]}
    for row in ROWS:
        assert row["family"]
        assert row["source"]
        assert risk.does_not_know(row["rule"])


@pytest.mark.parametrize("key", threshold.rows())
def test_every_threshold_has_scale_source_and_limits_that_hold_its_default(key: str) -> None:
    row = threshold.rows()[key]
    assert row["scale"] in SCALES
    assert row["unit"] in UNITS
    assert row["side"] in threshold.SIDES
    assert row["source"]
    assert row["confidence"] in {"read", "secondary", "memory", "ours"}
    least, default, most = (Decimal(row[name]) for name in ("least", "default", "most"))
    assert least <= default <= most
    assert least < most
    if row["unit"] == "halves":
        assert not any((each * 2) % 1 for each in (least, default, most))


def test_only_two_rules_protect_life_and_they_only_ever_find_sooner() -> None:
    assert risk.PROTECTS_LIFE == threshold.protected() == {"emaciated", "danger_signs"}
    for key, row in threshold.rows().items():
        if key.split(".")[0] in risk.PROTECTS_LIFE:
            assert row["side"] == "at_most"
            assert row["least"] == row["default"]


def test_raw_losses_may_be_found_sooner_only() -> None:
    for key, row in threshold.rows().items():
        if key.startswith(("losing_fast.", "losing_weight.")):
            assert (row["side"], row["most"]) == ("more_than", row["default"])


def test_thin_may_be_found_sooner_only() -> None:
    for key, row in threshold.rows().items():
        if key.startswith("thin."):
            assert (row["side"], row["least"]) == ("at_most", row["default"])


def refused(raw: object) -> set[tuple[str, str]]:
    with pytest.raises(errors.Invalid) as caught:
        threshold.check_thresholds(raw)
    return {(each.field, each.key) for each in caught.value.errors}


@pytest.mark.parametrize(
    ("key", "value", "fault"),
    [
        ("fat.five.overall", "3.0", "out_of_range"),
        ("fat.five.overall", "5.0", "out_of_range"),
        ("fat.five.overall", "3.75", "off_the_half_points"),
        ("fat.five.overall", "NaN", "not_a_number"),
        ("fat.five.overall", 4.0, "not_a_number"),
        ("fat.five.overall", "-4", "not_a_number"),
        ("emaciated.five.overall", "0.5", "out_of_range"),
        ("emaciated.nine.overall", "1.5", "out_of_range"),
        ("losing_fast.weight.percent_in_60_days", "15.5", "out_of_range"),
        ("thin.nine.overall", "2.5", "out_of_range"),
        ("thin.nine.overall_in_milk", "3.0", "out_of_range"),
        ("losing_fast.weight.percent_in_60_days", "10.123", "too_many_places"),
        ("never_scored.days.after_days", "2.5", "not_a_whole_number"),
        ("fat.six.overall", "4", "unknown_field"),
    ],
)
def test_a_bad_threshold_is_refused_by_its_name(key: str, value: Any, fault: str) -> None:
    assert refused({"thresholds": {key: value}}) == {(f"thresholds.{key}", fault)}


def test_a_refusal_names_the_range_and_every_fault() -> None:
    with pytest.raises(errors.Invalid) as caught:
        threshold.check_thresholds({"thresholds": {"fat.five.overall": "5"}, "off": ["emaciated"]})
    by_field = {each.field: each for each in caught.value.errors}
    assert by_field["thresholds.fat.five.overall"].params == {"low": "3.5", "high": "4.5"}
    assert by_field["off"].key == "never_switched_off"
    assert "never_switched_off" in keys.REFUSALS


@pytest.mark.parametrize("rule", sorted(risk.PROTECTS_LIFE))
def test_what_protects_life_is_not_switched_off(rule: str) -> None:
    assert refused({"off": [rule, "fat"]}) == {("off", "never_switched_off")}
    told = facts(five(2, 2, 2), signs=(seen.Signs(NOW, NOW, ("cannot_rise",)),))
    assert rule in names(replace(told, off=frozenset({rule})))
    assert rule in risk.judged(replace(told, off=frozenset({rule})))


@pytest.mark.parametrize("raw", [None, [], "fat", {"off": "fat"}, {"off": ["fatter"]}, {"on": []}])
def test_what_is_no_such_object_is_refused(raw: object) -> None:
    assert refused(raw)


def test_nothing_set_is_the_default() -> None:
    raws: list[dict[str, Any]] = [{}, {"off": []}, {"thresholds": {"fat.five.overall": None}}]
    for raw in raws:
        assert threshold.check_thresholds(raw) == threshold.Own()


def test_an_organisation_s_own_threshold_is_used_on_its_scale_only() -> None:
    own = threshold.check_thresholds({"thresholds": {"fat.five.overall": "3.5"}, "off": ["thin"]})
    told = facts(five(7, 7, 7), now=WINTER)
    assert names(told) == set()
    mine = replace(told, thresholds=own.thresholds, off=own.off)
    assert names(mine) == {"fat"}
    assert names(replace(mine, palpated=whole(13, "nine"))) == set()


def test_a_rule_switched_off_finds_and_clears_nothing() -> None:
    told = facts(five(8, 8, 8))
    without = replace(told, off=frozenset({"fat_in_spring"}))
    assert names(told) == {"fat_in_spring"}
    assert names(without) == {"fat"}
    assert "fat_in_spring" not in risk.judged(without)


def test_emaciated_may_be_found_sooner_and_never_later() -> None:
    sooner = {"emaciated.five.overall": Decimal("2.0")}
    assert "emaciated" in names(replace(facts(five(4, 4, 4)), thresholds=sooner))
    # However it came there, a looser value counts as the limit.
    for bad in (Decimal("0.0"), Decimal("NaN")):
        held = replace(facts(five(2, 2, 2)), thresholds={"emaciated.five.overall": bad})
        assert "emaciated" in names(held)


def test_a_scale_without_a_threshold_is_never_judged() -> None:
    assert threshold.bound({}, "fat", "crest", "overall") is None
    with pytest.raises(KeyError):
        threshold.required({}, "fat", "crest", "overall")
