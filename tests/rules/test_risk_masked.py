"""What a glance, a part, an empty word or an old answer must not hide: it is found all the same."""

from dataclasses import replace

import pytest

from scoring.rules import risk, risk_keys, seen
from tests.rules.animals import (
    DAY,
    NOW,
    WEEK,
    WINTER,
    answered,
    facts,
    five,
    found,
    names,
    trend,
    whole,
)
from yards.rules import breeding

BONY, FINE = five(1, 1, 1, days=3), five(5, 5, 5, manner="visual")
PART = five(None, 1, None, days=3)


@pytest.mark.parametrize(
    "scores",
    [
        (FINE, BONY),
        (FINE, PART),
        (five(5, None, None), BONY),
        (five(5, None, None, manner="visual"), PART),
        (five(None, None, None), five(1, 1, 1, manner="visual", days=2)),
    ],
)
def test_no_glance_no_part_and_no_empty_record_masks_a_felt_one(
    scores: tuple[seen.Score, ...],
) -> None:
    finding = found("emaciated", facts(*scores))
    assert finding is not None
    assert finding.severity == "urgent"


def test_a_newer_hand_over_the_whole_animal_does() -> None:
    """What was opened stays the vet's to end; nothing opens anew by itself."""
    assert found("emaciated", facts(five(5, 5, 5), BONY)) is None


@pytest.mark.parametrize("newer", [FINE, five(5, 5, 5)])
def test_what_has_just_come_is_judged_however_old_it_is(newer: seen.Score) -> None:
    """A phone that syncs after another person's look: as if it had come in time."""
    late = replace(BONY, received_at=NOW + DAY)
    finding = found("emaciated", facts(newer, came=late))
    assert finding is not None
    assert finding.evidence[0].params["days"] == 3
    assert finding.evidence_at == NOW + DAY


def test_only_what_a_person_resolved_since_stops_it() -> None:
    told = facts(FINE, BONY, came=replace(PART, received_at=NOW))
    assert names(replace(told, resolved={"emaciated": answered(NOW - DAY)})) == {"emaciated"}
    assert names(replace(told, resolved={"emaciated": answered(NOW)})) == set()


@pytest.mark.parametrize("appetite", ["", "unknown"])
def test_a_record_that_leaves_appetite_blank_hides_nothing(appetite: str) -> None:
    left = whole(6, "donkey", appetite="none", days=1)
    told = facts(whole(6, "donkey", appetite=appetite), left, species="donkey")
    assert names(told) == {"off_feed"}
    assert "off_feed" not in risk.judged(told)
    eats = facts(whole(6, "donkey", appetite="all"), left, species="donkey")
    assert names(eats) == set()
    assert "off_feed" in risk.judged(eats)


def test_a_moved_donkey_is_watched_on_once_it_eats_again() -> None:
    """Who resolved that it left its feed has said nothing of the weeks to come."""
    told = facts(whole(6, "donkey"), species="donkey", moved_at=NOW - DAY)
    done = answered(NOW, basis="appetite")
    assert names(replace(told, resolved={"off_feed": done})) == {"hyperlipaemia_watch"}
    watched = {"hyperlipaemia_watch": answered(NOW, basis="move")}
    assert names(replace(told, resolved=watched)) == set()


def test_an_answer_on_the_weights_is_none_on_the_scores() -> None:
    told = facts(score_trend=trend("five", -0.6, 0.3))
    for basis, is_found in (("weight", True), ("scores", False), ("", True)):
        done = {"loss_in_foal_or_milk": answered(NOW, basis=basis)}
        assert (names(replace(told, resolved=done)) == {"losing_score"}) == is_found


FAT = facts(five(8, 8, 8), now=WINTER)
THIN = facts(five(3, 3, 3))
CRESTED = facts(five(4, 4, 4, crest=6), now=WINTER)
IN_FOAL = breeding.Bred(in_foal="yes")


@pytest.mark.parametrize(
    ("rule", "told", "since"),
    [
        ("fat", FAT, {"laminitis": "past"}),
        ("fat", FAT, {"endocrine": "suspected"}),
        ("thin", THIN, {"bred": IN_FOAL}),
        ("crest_raised", CRESTED, {"now": NOW}),
    ],
)
def test_a_new_danger_is_told_on_an_old_reading(
    rule: str, told: risk.Facts, since: dict[str, object]
) -> None:
    done = replace(told, resolved={rule: answered(NOW + DAY, severity="watch")})
    assert names(done) == set()
    assert rule in names(replace(done, **since))  # type: ignore[arg-type]


def test_a_risk_that_was_not_known_is_told_though_it_is_no_graver() -> None:
    told = replace(FAT, laminitis="past")
    done = answered(NOW + DAY, severity="act", told=("reading_taken", "risk_past_laminitis"))
    held = replace(told, resolved={"fat": done})
    assert names(held) == set()
    assert names(replace(held, endocrine="confirmed")) == {"fat"}
    assert "risk_endocrine" in risk_keys.RISKS


def test_the_answer_to_a_graver_alert_holds_for_no_graver_one_of_the_lesser() -> None:
    told = facts(five(8, 8, 8), now=WINTER, laminitis="past")
    milder = {"fat_in_spring": answered(NOW + WEEK, severity="watch", basis="score")}
    assert names(replace(told, resolved=milder)) == {"fat"}
    as_grave = {"fat_in_spring": answered(NOW + WEEK, severity="act", basis="score")}
    assert names(replace(told, resolved=as_grave)) == set()
