"""How sure a limit is truly passed, and when a second pair of hands is asked for."""

from dataclasses import replace

import pytest

from scoring.rules import risk
from tests.oracles import stats
from tests.outside import WITHIN_TOLERANCE, outside
from tests.rules.animals import DAY, facts, five, found, trend

FAT, LEVEL = five(8, 8, 8), 0.0


def lines(told: risk.Facts, rule: str) -> dict[str, dict[str, object]]:
    finding = found(rule, told)
    assert finding is not None
    return {each.key: dict(each.params) for each in finding.evidence}


@outside(
    "a true level so far past the limit, of a known spread, is past it with that chance",
    source="scipy.stats.norm.cdf, run beside ours",
    status=WITHIN_TOLERANCE,
)
@pytest.mark.parametrize("level", [3.4, 3.6, 3.75, 3.9, 4.3])
def test_the_chance_is_that_of_the_normal_law(level: float) -> None:
    said = lines(facts(FAT, score_trend=trend("five", LEVEL, 0.1, level=level)), "fat")
    # 80% of it lies within 0.2; the nearest half is 4 from 3.75 on.
    chance = 1 - stats.norm.cdf(3.75, level, 0.2 / stats.norm.ppf(0.9))
    told = said["limit_truly_passed"]
    assert told["percent"] == pytest.approx(min(99, max(1, 100 * chance)), abs=0.51)
    assert (told["limit"], told["scale"]) == ("4.0", "five")
    assert ("near_the_limit" in said) == (0.2 < chance < 0.8)
    assert ("against_the_trend" in said) == (chance <= 0.2)


@pytest.mark.parametrize(
    ("rule", "halves", "near", "sure"),
    [("emaciated", 2, 1.2, 0.6), ("thin", 3, 1.8, 1.0), ("fat", 8, 3.7, 4.4)],
)
def test_near_the_limit_it_asks_for_second_hands_and_is_as_urgent(
    rule: str, halves: int, near: float, sure: float
) -> None:
    score = five(halves, halves, halves)
    by = [
        found(rule, facts(score, score_trend=trend("five", LEVEL, 0.1, level=level)))
        for level in (near, sure)
    ]
    assert by[0] is not None
    assert by[1] is not None
    assert "near_the_limit" in {each.key for each in by[0].evidence}
    assert "near_the_limit" not in {each.key for each in by[1].evidence}
    assert "against_the_trend" not in {each.key for each in (*by[0].evidence, *by[1].evidence)}
    assert (by[0].severity, by[0].advice) == (by[1].severity, by[1].advice)


def test_what_nothing_is_known_of_is_not_said() -> None:
    few = replace(trend("five", LEVEL, 0.1, level=4), rate=None)
    other = trend("nine", LEVEL, 0.1, level=4)
    for told in (None, few, other):
        assert "limit_truly_passed" not in lines(facts(FAT, score_trend=told), "fat")
    # An old emaciated reading under a newer one: the trend has gone on since.
    newer, older = five(5, 5, 5), five(2, 2, 2, days=3)
    gone_on = facts(newer, came=older, score_trend=trend("five", LEVEL, 0.1, level=2.4))
    assert "limit_truly_passed" not in lines(gone_on, "emaciated")
    assert older.at + 3 * DAY == newer.at
