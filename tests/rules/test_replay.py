"""A replay counts what the rules would have told: openings, of which animals, and in spring."""

from dataclasses import replace
from datetime import datetime, timedelta
from decimal import Decimal

from scoring.rules import replay, risk, threshold
from tests.rules.animals import DAY, NOW, facts, five

TODAY = threshold.Own()
HIGHER = threshold.Own({"fat_in_spring.five.overall": Decimal("4.5")})
OFF = threshold.Own(off=frozenset({"fat_in_spring"}))
SINCE = NOW - 365 * DAY


def moment(halves: int, at: datetime, **given: object) -> risk.Facts:
    """An animal felt at a time, the same all over."""
    score = replace(five(halves, halves, halves), at=at, received_at=at)
    return facts(score, now=at, **given)


def told(*lives: list[risk.Facts], owns: tuple[threshold.Own, ...] = (TODAY,)) -> list[replay.Told]:
    rules = ("fat_in_spring", *replay.lesser("fat_in_spring"))
    found = replay.told((replay.Life(n, life) for n, life in enumerate(lives)), rules, owns, SINCE)
    return [each["fat_in_spring"] for each in found]


def test_an_alert_counts_when_it_opens_and_again_after_it_was_over() -> None:
    days = [moment(halves, NOW + n * DAY) for n, halves in enumerate((8, 8, 6, 8))]
    assert told(days) == [replay.Told(2, 2, frozenset({0}))]


def test_what_began_before_is_not_counted() -> None:
    before, after = moment(8, SINCE - DAY), moment(8, SINCE + timedelta(hours=1))
    assert told([before, after]) == [replay.NOTHING]


def test_each_setting_is_told_beside_the_other_of_every_animal() -> None:
    lives = [[moment(8, NOW)], [moment(9, NOW)], [moment(6, NOW)]]
    both = told(*lives, owns=(TODAY, HIGHER, OFF))
    assert both[0] == replay.Told(2, 2, frozenset({0, 1}))
    assert both[1] == replay.Told(1, 1, frozenset({1}))
    assert both[2] == replay.NOTHING


def test_what_a_graver_rule_says_is_not_told_twice_and_comes_out_when_that_is_off() -> None:
    life = [moment(8, NOW, laminitis="past")]
    rules = ("fat_in_spring", "fat")
    today, off = replay.told([replay.Life(1, life)], rules, (TODAY, OFF), SINCE)
    assert (today["fat"].alerts, off["fat"].alerts) == (0, 1)
    assert replay.changed(today, off, "fat_in_spring") == ["fat"]


def test_what_cannot_be_judged_does_not_end_an_alert() -> None:
    seen_only = facts(replace(five(5, 5, 5, manner="visual"), at=NOW + DAY), now=NOW + DAY)
    assert told([moment(8, NOW), seen_only, moment(8, NOW + 2 * DAY)])[0].alerts == 1


def test_a_rule_that_protects_life_is_told_whatever_is_off() -> None:
    own = threshold.Own(off=frozenset({"emaciated"}))
    [found] = replay.told([replay.Life(1, [moment(1, NOW)])], ("emaciated",), (own,), SINCE)
    assert found["emaciated"].alerts == 1
