"""The registry of risk rules: what holds of every rule, whatever the animal."""

import ast
from collections.abc import Iterable
from dataclasses import replace
from pathlib import Path
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from scoring.rules import risk, risk_graver, risk_keys, scale, seen, threshold
from tests.rules.animals import (
    DAY,
    NOW,
    answered,
    edges,
    facts,
    five,
    found,
    names,
    trend,
    weights,
    whole,
)
from yards.rules import breeding

FAT_RULES = {"fat_in_spring", "fat", "above_band"}
THIN_RULES = {"emaciated", "thin", "below_band_twice"}
BANDS = {
    "five": edges("2.0", "3.0"),
    "nine": edges("4.0", "6.0", "nine"),
    "donkey": edges("2.5", "3.5", "donkey"),
}
HALVES = {key: st.integers(scale.of(key).low, scale.of(key).high) for key in scale.SCALES}
REGIONS = st.tuples(*[HALVES["five"]] * 3)


def reading(key: str, *halves: int, **given: Any) -> seen.Score:
    return five(*halves, **given) if key == "five" else whole(halves[0], key, **given)


@st.composite
def readings(draw: st.DrawFn) -> tuple[seen.Score, ...]:
    """Return up to six readings of one animal on one scale, newest first."""
    key = draw(st.sampled_from(scale.SCALES))
    days = sorted(draw(st.lists(st.integers(0, 200), max_size=6, unique=True)))
    return tuple(
        reading(
            key,
            *(draw(REGIONS) if key == "five" else (draw(HALVES[key]),)),
            days=day,
            by=draw(st.integers(1, 3)),
            manner=draw(st.sampled_from(("palpated", "visual"))),
            crest=draw(st.none() | st.integers(0, 10)),
            appetite=draw(st.sampled_from(("", "all", "some", "none"))),
        )
        for day in days
    )


@st.composite
def animals(draw: st.DrawFn) -> risk.Facts:
    """Return any animal, with any readings, weights, trends, plan and mare's state."""
    scores = draw(readings())
    key = scores[0].scale if scores else "five"
    taken = draw(st.lists(st.integers(80, 700), max_size=5))
    rate = st.floats(-6, 6)
    held = draw(st.sampled_from((None, "weight", key)))
    return facts(
        *scores,
        now=NOW + draw(st.integers(0, 365)) * DAY,
        species="donkey" if key == "donkey" else "horse",
        kind=draw(st.sampled_from(("", "pony", "cob"))),
        bred=draw(st.sampled_from((breeding.Bred(), breeding.Bred(in_foal="yes")))),
        laminitis=draw(st.sampled_from(("never", "past"))),
        edges=BANDS[key],
        weights=weights(*((70 - 14 * n, str(kg)) for n, kg in enumerate(taken))),
        score_trend=trend(key, draw(rate), draw(st.floats(0, 3))),
        weight_trend=trend("weight", draw(rate), draw(st.floats(0, 3))),
        plan=None if held is None else seen.Plan(NOW - 40 * DAY, held, draw(rate)),
        arrived_at=draw(st.sampled_from((None, NOW - 9 * DAY, NOW - 400 * DAY))),
        score_due_at=draw(st.sampled_from((None, NOW - 30 * DAY, NOW + 30 * DAY))),
    )


def test_nothing_is_found_of_nothing() -> None:
    assert risk.find(facts()) == ()
    assert risk.find(facts(species="donkey")) == ()


@given(animals())
def test_every_finding_is_whole_cautious_and_sourced(told: risk.Facts) -> None:
    for each in risk.find(told):
        row = threshold.rule(each.rule)
        assert each.severity in {row["severity"], row.get("severity_at_risk", row["severity"])}
        assert each.source == row["source"]
        assert each.evidence
        assert each.basis
        assert each.evidence_at is not None
        assert each.advice.key in risk_keys.ADVICE
        assert each.what_not_to_do.key in risk_keys.WHAT_NOT_TO_DO
        for message in (each.reason, *each.evidence):
            listed = {**risk_keys.REASONS, **risk_keys.EVIDENCE}
            assert set(message.params) == set(listed[message.key])
            assert not {"nan", "inf", "+inf", "-inf"} & {str(v) for v in message.params.values()}


@given(animals(), st.permutations(list(risk.RULES)))
def test_the_order_of_the_rules_asked_for_changes_nothing(told: risk.Facts, order: Any) -> None:
    assert risk.find(told, tuple(order)) == risk.find(told)


@given(animals())
def test_what_was_resolved_after_the_evidence_is_not_found_again(told: risk.Facts) -> None:
    resolved = dict.fromkeys(risk.RULES, answered(told.now + DAY, told=risk_keys.RISKS))
    assert names(replace(told, resolved=resolved)) == set()


@given(animals())
def test_the_graver_ones_leave_every_kind_of_evidence_told(told: risk.Facts) -> None:
    """What is left out is always said by something that is told."""
    every = [each for rule in risk.RULES.values() if (each := rule(told)) is not None]
    told_of = {each.basis for each in risk.find(told)}
    # That it came of late goes without saying where it left its feed: that is said.
    across = {lesser for graver, lesser in risk_graver.ACROSS if graver in told_of}
    assert told_of <= {each.basis for each in every} <= told_of | across
    assert len({each.rule for each in every}) == len(every)


@given(REGIONS, st.integers(0, 2))
def test_a_thinner_score_never_loses_the_thin_finding(regions: Any, which: int) -> None:
    thinner = tuple(max(0, each - (place == which)) for place, each in enumerate(regions))
    for rule in ("emaciated", "thin"):
        if found(rule, facts(five(*regions))) is not None:
            assert found(rule, facts(five(*thinner))) is not None
    if names(facts(five(*regions))) & THIN_RULES:
        assert names(facts(five(*thinner))) & THIN_RULES


@given(st.sampled_from(("nine", "donkey")), st.data())
def test_so_it_is_on_the_whole_animal_scales(key: str, data: st.DataObject) -> None:
    halves = data.draw(HALVES[key])
    thinner = data.draw(st.integers(scale.of(key).low, halves))
    for rule in ("emaciated", "thin"):
        if found(rule, facts(whole(halves, key))) is not None:
            assert found(rule, facts(whole(thinner, key))) is not None


@given(REGIONS, st.integers(0, 2))
def test_a_fatter_score_never_loses_the_fat_finding(regions: Any, which: int) -> None:
    fatter = tuple(min(10, each + (place == which)) for place, each in enumerate(regions))
    for rule in FAT_RULES:
        if found(rule, facts(five(*regions), edges=BANDS["five"])) is not None:
            assert found(rule, facts(five(*fatter), edges=BANDS["five"])) is not None


@given(st.sampled_from(scale.SCALES), st.data())
def test_a_fat_score_is_never_thin_nor_a_thin_one_fat(key: str, data: st.DataObject) -> None:
    """But for one region without fat, which is told of whatever the others are."""
    halves = data.draw(HALVES[key])
    told = facts(
        reading(key, *[halves] * 3), reading(key, *[halves] * 3, days=30), edges=BANDS[key]
    )
    named = names(told)
    assert not (named & THIN_RULES and named & FAT_RULES)
    middle = (BANDS[key].low + BANDS[key].high) / 2
    if named & THIN_RULES:
        assert halves / 2 < middle
    if named & FAT_RULES:
        assert halves / 2 > middle


@given(animals())
def test_losing_and_gaining_are_never_found_together(told: risk.Facts) -> None:
    by_one = replace(told, score_trend=None)
    for one in (by_one, replace(told, weight_trend=None)):
        losing = {"losing_weight", "losing_score", "loss_in_foal_or_milk"} & names(one)
        assert not (losing and found("gaining_fast", one))


def test_a_visual_reading_clears_no_fat_that_was_felt() -> None:
    assert "fat_in_spring" not in risk.judged(facts(five(4, 4, 4, manner="visual")))


def test_only_what_is_judged_may_be_cleared() -> None:
    assert risk.judged(facts()) == {"danger_signs", "hyperlipaemia_watch", "plan_off_track"}


def sources() -> Iterable[Path]:
    return sorted(Path(risk.__file__).parent.glob("risk*.py"))


def test_no_rule_asks_a_clock_settings_or_chance() -> None:
    """Rules are pure: the same facts, the same findings."""
    assert len(list(sources())) > 10
    for path in sources():
        tree = ast.parse(path.read_text(encoding="utf-8"))
        calls = {ast.unparse(node.func) for node in ast.walk(tree) if isinstance(node, ast.Call)}
        assert not calls & {"datetime.now", "datetime.today", "date.today", "time.time"}
        assert "random" not in path.read_text(encoding="utf-8")
