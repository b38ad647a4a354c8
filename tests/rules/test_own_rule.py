"""What an organisation may set: whatever it sets, the rules that protect life find as soon."""

from collections.abc import Mapping
from decimal import Decimal
from types import MappingProxyType
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from scoring.queries import own_rules
from scoring.rules import own_rule, risk, seen, threshold
from scoring.rules.own_rule import Setting
from tests.rules.animals import NOW, facts, five, whole
from yards.rules import errors

PROTECTED = sorted(risk.PROTECTS_LIFE)
STEP = {"halves": Decimal("0.5"), "days": Decimal(1)}


def values_of(row: Mapping[str, Any]) -> st.SearchStrategy[Decimal]:
    """Every value that a row may be set to."""
    step = STEP.get(row["unit"], Decimal("0.01"))
    most = int((Decimal(row["most"]) - Decimal(row["least"])) / step)
    return st.integers(0, most).map(lambda n: Decimal(row["least"]) + n * step)


def sent_of(rule: str) -> st.SearchStrategy[dict[str, Any]]:
    """What a form or client may send of a rule's thresholds, within the limits or empty."""
    scales: dict[str, dict[str, Any]] = {}
    for row in threshold.rule(rule)["thresholds"]:
        value = st.none() | values_of(row).map(str)
        scales.setdefault(row["scale"], {})[row["measure"]] = value
    inner = {scale: st.fixed_dictionaries({}, optional=each) for scale, each in scales.items()}
    return st.fixed_dictionaries({}, optional=inner)


rule_and_sent = st.sampled_from(threshold.rules()).flatmap(
    lambda rule: st.tuples(st.just(rule), sent_of(rule), st.booleans())
)


def set_by(drawn: list[tuple[str, dict[str, Any], bool]]) -> Mapping[str, Setting]:
    """What one who may set rules makes of them; what is refused leaves the rule as it was."""
    found: dict[str, Setting] = {}
    for rule, sent, on in drawn:
        try:
            raw = {"thresholds": sent, "on": on}
            found[rule] = own_rule.proposed(raw, rule, own_rule.AS_DEFAULT)
        except errors.Invalid:
            assert rule in PROTECTED, "nothing within the limits is refused"
            assert not on
    return found


readings = st.one_of(
    st.lists(st.integers(0, 10), min_size=3, max_size=3).map(lambda each: five(*each)),
    st.integers(2, 18).map(lambda each: whole(each, "nine")),
    st.integers(2, 10).map(lambda each: whole(each, "donkey")),
)


@given(
    house=st.lists(rule_and_sent, max_size=6),
    yard=st.lists(rule_and_sent, max_size=3),
    horse=st.lists(rule_and_sent, max_size=3),
    score=readings,
)
def test_no_setting_silences_or_delays_what_protects_life(
    house: list[Any], yard: list[Any], horse: list[Any], score: Any
) -> None:
    own = own_rules.own(set_by(house), set_by(yard), set_by(horse))
    animal = facts(score)
    if risk.RULES["emaciated"](animal) is not None:
        as_set = facts(score, thresholds=own.thresholds, off=own.off)
        assert "emaciated" in {each.rule for each in risk.find(as_set)}
        assert "emaciated" in risk.judged(as_set)
    assert not own.off & risk.PROTECTS_LIFE
    seen_now = seen.Signs(NOW, NOW, ("not_eating",))
    told = facts(score, signs=(seen_now,), thresholds=own.thresholds, off=own.off)
    assert "danger_signs" in {each.rule for each in risk.find(told)}


@pytest.mark.parametrize("rule", PROTECTED)
def test_even_a_row_that_came_there_otherwise_switches_none_of_them_off(rule: str) -> None:
    layers = {rule: Setting(False, MappingProxyType({"five.overall": Decimal(0)}))}
    own = own_rules.own(layers)
    thin = facts(five(1, 1, 1), thresholds=own.thresholds, off=own.off)
    assert risk.asks(thin, "emaciated")
    assert rule in risk.judged(thin)


@given(drawn=rule_and_sent)
def test_what_is_set_is_as_it_was_sent(drawn: tuple[str, dict[str, Any], bool]) -> None:
    rule, sent, _ = drawn
    found = own_rule.proposed({"thresholds": sent}, rule, own_rule.AS_DEFAULT)
    own = own_rules.own({rule: found})
    for row in threshold.rule(rule)["thresholds"]:
        value = sent.get(row["scale"], {}).get(row["measure"])
        bound = threshold.required(own.thresholds, rule, row["scale"], row["measure"])
        assert bound.value == Decimal(row["default"] if value is None else value)
        # Kept as text and read again it is the same.
        kept = own_rules.stored(found)
        assert own_rules.setting_of(**kept) == found


def test_null_is_the_default_and_what_was_left_out_stays() -> None:
    stands = Setting(True, MappingProxyType({"five.overall": Decimal("4.5")}))
    kept = own_rule.proposed({"thresholds": {"nine": {"overall": "8"}}}, "fat", stands)
    assert kept.values == {"five.overall": Decimal("4.5"), "nine.overall": Decimal(8)}
    none = own_rule.proposed({"thresholds": {"five": {"overall": None}}}, "fat", kept)
    assert none.values == {"nine.overall": Decimal(8)}


def test_the_nearest_of_several_counts() -> None:
    one, two = (
        {"fat": Setting(True, MappingProxyType({"five.overall": Decimal(v)}))} for v in "34"
    )
    off = {"fat": Setting(False)}
    assert own_rules.own(one, two).thresholds == {"fat.five.overall": Decimal(4)}
    assert own_rules.own(one, off).off == {"fat"}
    assert not own_rules.own(off, one).off, "an exception that sets a threshold uses the rule"


def test_danger_signs_cannot_be_changed_at_all() -> None:
    assert [rule for rule in threshold.rules() if own_rule.is_fixed(rule)] == ["danger_signs"]
