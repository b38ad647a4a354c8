"""One thing is told once, by the graver rule: the whole table, both ways, and nothing beyond it."""

from dataclasses import replace
from itertools import pairwise

import pytest

from scoring.rules import finding, risk, risk_graver, seen
from tests.rules.animals import (
    DAY,
    NOW,
    WINTER,
    answered,
    edges,
    facts,
    five,
    found,
    names,
    trend,
    weights,
)
from yards.rules import breeding

PAIRS = [(lesser, each) for lesser, gravers in risk_graver.GRAVER.items() for each in gravers]
BAND = edges("2.0", "3.0")
FAT = facts(five(8, 10, 8), edges=BAND)  # 4.33 is a 4.5; the back a half point above
PATCHY = facts(five(7, 10, 6), edges=BAND)  # 3.83 is a 4; the back a point above
BONY = facts(five(2, 2, 2), five(2, 2, 3, days=9), edges=BAND)
LEAN = facts(five(3, 3, 3), five(3, 3, 4, days=9), edges=BAND)
LOST = facts(
    weights=weights((50, "500"), (0, "420")), weight_trend=trend("weight", -2.5, 0.5, level=420)
)
MARE = replace(LOST, bred=breeding.Bred(in_foal="yes"))
SLOW_MARE = replace(MARE, weights=weights((50, "500"), (0, "470")))
MARE_BY_SCORE = facts(score_trend=trend("five", -0.6, 0.3), bred=breeding.Bred(in_milk=True))
MOVED = facts(five(6, 6, 6, appetite="none"), kind="pony", moved_at=NOW - DAY, now=WINTER)
LATE = facts(arrived_at=NOW - 9 * DAY, score_due_at=NOW - 9 * DAY)
# lesser, graver -> an animal of which both are true.
BOTH = {
    ("fat", "fat_in_spring"): FAT,
    ("above_band", "fat_in_spring"): FAT,
    ("above_band", "fat"): replace(FAT, now=WINTER),
    ("region_far_above", "fat_in_spring"): PATCHY,
    ("region_far_above", "fat"): replace(PATCHY, now=WINTER),
    ("region_far_above", "emaciated"): facts(five(1, 8, 8)),  # a region without fat, two of 4
    ("thin", "emaciated"): BONY,
    ("below_band_twice", "emaciated"): BONY,
    ("below_band_twice", "thin"): LEAN,
    ("loss_in_foal_or_milk", "losing_fast"): MARE,
    ("losing_weight", "losing_fast"): LOST,
    ("losing_weight", "loss_in_foal_or_milk"): SLOW_MARE,
    ("losing_score", "loss_in_foal_or_milk"): MARE_BY_SCORE,
    ("hyperlipaemia_watch", "off_feed"): replace(MOVED, now=NOW),
    ("overdue", "never_scored"): LATE,
}


@pytest.mark.parametrize(("lesser", "graver"), PAIRS)
def test_the_graver_is_told_and_the_lesser_is_not(lesser: str, graver: str) -> None:
    told = BOTH[lesser, graver]
    assert found(lesser, told) is not None
    assert found(graver, told) is not None
    assert graver in names(told)
    assert lesser not in names(told)


@pytest.mark.parametrize(("lesser", "graver"), PAIRS)
def test_without_the_graver_the_lesser_is_told(lesser: str, graver: str) -> None:
    others = frozenset(risk.RULES) - set(risk_graver.GRAVER[lesser])
    assert lesser in {each.rule for each in risk.find(BOTH[lesser, graver], others)}


@pytest.mark.parametrize(("lesser", "graver"), PAIRS)
def test_a_lesser_one_never_stands_for_a_graver(lesser: str, graver: str) -> None:
    one, other = found(lesser, BOTH[lesser, graver]), found(graver, BOTH[lesser, graver])
    assert one is not None
    assert other is not None
    assert finding.rank(other.severity) >= finding.rank(one.severity)
    assert not risk_graver.stands_for(one, other)
    for pair in ((one, other), (other, one)):
        assert risk_graver.gravest(pair) == (other,)


def test_the_table_has_no_way_round_and_stands_in_the_registry_s_order() -> None:
    order = list(risk.RULES)
    for lesser, graver in PAIRS:
        assert graver not in risk.LATENESS or lesser in risk.LATENESS
        assert (graver, lesser) not in PAIRS
        assert order.index(graver) < order.index(lesser)


@pytest.mark.parametrize("protected", sorted(risk.PROTECTS_LIFE))
def test_what_protects_life_is_never_left_out(protected: str) -> None:
    assert protected not in risk_graver.GRAVER
    everything = replace(
        BONY, signs=(seen.Signs(NOW, NOW, ("very_dull",)),), weights=LOST.weights, species="donkey"
    )
    assert protected in names(everything)


def test_danger_signs_stand_for_nothing_else() -> None:
    assert "danger_signs" not in {
        each for gravers in risk_graver.GRAVER.values() for each in gravers
    }


def test_other_evidence_and_a_lower_severity_stand_for_nothing() -> None:
    lesser, graver = found("fat", FAT), found("fat_in_spring", FAT)
    assert lesser is not None
    assert graver is not None
    assert risk_graver.stands_for(graver, lesser)
    assert not risk_graver.stands_for(replace(graver, basis="crest"), lesser)
    assert not risk_graver.stands_for(
        replace(graver, severity="watch"), replace(lesser, severity="act")
    )
    # Lost by the weights, and by the scores too: two things.
    both = replace(LOST, score_trend=trend("five", -0.6, 0.3))
    assert names(both) == {"losing_fast", "losing_score"}


def test_what_a_person_resolved_of_the_graver_is_answered_for_the_lesser_too() -> None:
    """Resolved in spring, a fat horse is no news on the first of June by the same reading."""
    resolved = {"fat_in_spring": answered(NOW + DAY, severity="act", basis="score")}
    done = replace(FAT, resolved=resolved, now=NOW + 60 * DAY)
    assert found("fat", done) is not None
    assert names(done) == set()
    again = replace(done, palpated=replace(five(8, 10, 8), received_at=NOW + 2 * DAY))
    assert names(again) == {"fat"}


def test_the_order_of_findings_is_the_registry_s() -> None:
    told = replace(BONY, weights=LOST.weights, weight_due_at=NOW - 9 * DAY)
    order = [list(risk.RULES).index(each.rule) for each in risk.find(told)]
    assert all(one < other for one, other in pairwise(order))
    assert len(order) == 3
