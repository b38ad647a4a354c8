"""Appetite, hands that differ, plans off their track, and what nobody looked at."""

from dataclasses import replace

import pytest

from scoring.rules import risk, seen
from tests.outside import COMMON_PRACTICE, EXACT, FROM_MEMORY, outside
from tests.rules.animals import DAY, NOW, answered, facts, five, found, names, trend, whole
from yards.rules import breeding

BURDEN = "Burden et al. 2011, JVIM, 10.1111/j.1939-1676.2011.00798.x"


@outside(
    "a donkey with poor appetite had 3.2 times the odds of hyperlipaemia: the vet now",
    source=BURDEN,
    status=EXACT,
)
@pytest.mark.parametrize(
    ("appetite", "is_found"), [("some", True), ("none", True), ("all", False), ("unknown", False)]
)
def test_a_donkey_off_its_feed_is_urgent(appetite: str, is_found: bool) -> None:
    told = facts(whole(6, "donkey", appetite=appetite), species="donkey")
    finding = found("off_feed", told)
    assert (finding is not None) == is_found
    if finding is not None:
        assert (finding.severity, finding.advice.key) == ("urgent", "phone_vet_now_off_feed")


@outside(
    "ponies, miniatures and mares late in foal cannot go without food either",
    source="reviews of hyperlipaemia",
    status=FROM_MEMORY,
)
@pytest.mark.parametrize(
    ("animal", "is_found"),
    [
        ({"kind": "pony"}, True),
        ({"kind": "miniature"}, True),
        ({"bred": breeding.Bred(in_foal="yes", pregnancy_month=10, is_late_in_foal=True)}, True),
        ({"bred": breeding.Bred(in_foal="yes")}, True),
        ({"bred": breeding.Bred(in_foal="yes", pregnancy_month=3)}, False),
        ({"kind": "light_horse"}, False),
    ],
)
def test_who_cannot_wait(animal: dict[str, object], is_found: bool) -> None:
    told = facts(five(6, 6, 6, appetite="some", manner="visual"), **animal)
    assert (found("off_feed", told) is not None) == is_found


@outside(
    "mules and mares in milk that leave their feed are for the vet now",
    source="what vets tell keepers",
    status=COMMON_PRACTICE,
)
@pytest.mark.parametrize(
    ("animal", "called"),
    [
        ({"species": "mule", "kind": "mule"}, "mule"),
        ({"bred": breeding.Bred(in_milk=True)}, "mare_in_milk"),
    ],
)
def test_mules_and_mares_in_milk_cannot_wait_either(animal: dict[str, object], called: str) -> None:
    finding = found("off_feed", facts(five(6, 6, 6, appetite="some"), **animal))
    assert finding is not None
    assert (finding.severity, finding.reason.params["animal"]) == ("urgent", called)


@outside(
    "no animal goes 12 hours without eating before the vet is phoned",
    source="lists of red flags that vets give keepers",
    status=FROM_MEMORY,
)
@pytest.mark.parametrize("animal", [{}, {"kind": "light_horse"}, {"kind": "cob"}])
def test_any_animal_that_ate_nothing_is_for_today(animal: dict[str, object]) -> None:
    finding = found("off_feed", facts(five(6, 6, 6, appetite="none"), **animal))
    assert finding is not None
    assert (finding.severity, finding.reason.key) == ("act", "ate_nothing")
    assert finding.advice.key == "phone_vet_today_ate_nothing"
    assert found("off_feed", facts(five(6, 6, 6, appetite="some"), **animal)) is None


def test_off_feed_is_of_now_and_told_once() -> None:
    donkey = {"species": "donkey"}
    assert found("off_feed", facts(whole(6, "donkey", appetite="none", days=2), **donkey))
    assert not found("off_feed", facts(whole(6, "donkey", appetite="none", days=3), **donkey))
    dull = whole(6, "donkey", appetite="none", danger_signs=("very_dull",))
    assert not found("off_feed", facts(dull, **donkey))
    said = facts(dull, signs=(seen.Signs(NOW, NOW, ("very_dull",)),), **donkey)
    [finding] = risk.find(said)
    assert (finding.rule, finding.advice.key) == ("danger_signs", "phone_vet_now_donkey")
    pony = found("danger_signs", replace(said, species="horse", kind="pony"))
    assert pony is not None
    assert pony.advice.key == "phone_vet_now_pony"


def test_only_a_reading_that_says_it_eats_clears_off_feed() -> None:
    for appetite, clears in (("all", True), ("", False), ("unknown", False), ("some", False)):
        told = facts(five(6, 6, 6, appetite=appetite), kind="pony")
        assert ("off_feed" in risk.judged(told)) == clears


@outside("a recent move had 3.9 times the odds of hyperlipaemia", source=BURDEN, status=EXACT)
@outside(
    "the first month after arrival is the riskiest",
    source="after Reid and Mohammed 1996, JAVMA 209:1449: the peak soon after arrival",
    status=FROM_MEMORY,
)
@pytest.mark.parametrize(
    ("animal", "days", "is_found"),
    [
        ({"species": "donkey"}, 31, True),
        ({"species": "donkey"}, 32, False),
        ({"kind": "pony"}, 0, True),
        ({"kind": "miniature"}, 3, True),
        ({"kind": "cob"}, 3, False),
        ({"bred": breeding.Bred(in_foal="yes")}, 3, False),
    ],
)
def test_the_first_month_after_a_move_is_watched(
    animal: dict[str, object], days: int, is_found: bool
) -> None:
    told = facts(arrived_at=NOW - 300 * DAY, moved_at=NOW - days * DAY, **animal)
    finding = found("hyperlipaemia_watch", told)
    assert (finding is not None) == is_found
    assert finding is None or finding.severity == "watch"


@outside(
    "two persons a full point apart within days disagree: both scores stay and they score again",
    source="joint scoring as charities do it",
    status=COMMON_PRACTICE,
)
@pytest.mark.parametrize(
    ("other", "is_found"),
    [
        (five(8, 8, 8, days=1, by=2), True),
        (five(7, 7, 7, days=1, by=2), False),
        (five(4, 4, 4, days=3, by=2), True),
        (five(4, 4, 4, days=3.1, by=2), False),
        (five(8, 8, 8, days=1), False),  # the same hand
        (five(8, 8, 8, days=1, by=None), False),
        (whole(9, "nine", days=1, by=2), False),
    ],
)
def test_assessors_a_full_point_apart(other: seen.Score, is_found: bool) -> None:
    finding = found("assessors_apart", facts(five(6, 6, 6), other))
    assert (finding is not None) == is_found
    if finding is not None:
        assert finding.reason.params["other"] == "3.0"
        assert finding.what_not_to_do.key == "keep_both_scores"
        assert finding.severity == "watch"


def test_of_several_others_the_furthest_is_told_whatever_came_first() -> None:
    near, far = five(8, 8, 8, days=1, by=2), five(9, 9, 9, days=2, by=3)
    for others in ((near, far), (far, near)):
        finding = found("assessors_apart", facts(five(6, 6, 6), *others))
        assert finding is not None
        assert finding.reason.params == {"one": "4.5", "other": "3.0", "scale": "five"}


PLAN = seen.Plan(NOW - 60 * DAY, "weight", -0.7)


@pytest.mark.parametrize(
    ("rate", "half", "advice"),
    [
        (-0.7, 0.1, None),
        (-0.3, 0.5, None),  # the plan's rate is not ruled out
        (-0.5, 0.1, None),  # ruled out, but nearly met
        (-0.2, 0.1, "plan_review_with_vet"),
        (0.3, 0.1, "plan_review_with_vet"),
        (-1.2, 0.2, "plan_too_fast"),
    ],
)
def test_a_plan_is_off_its_track_when_the_trend_rules_it_out(
    rate: float, half: float, advice: str | None
) -> None:
    since = PLAN.start + 7 * DAY  # the baseline after the diet's first week
    held = trend("weight", rate, half, since=since)
    finding = found("plan_off_track", facts(weight_trend=held, plan=PLAN))
    assert (None if finding is None else finding.advice.key) == advice
    if finding is not None:
        assert finding.severity == ("act" if advice == "plan_too_fast" else "watch")


@outside(
    "a plan for 0.5% a week whose animal loses 0.16% is off its track: much of it is the animal",
    source="Argo et al. 2012, Veterinary Journal (0.16 to 0.55% a week on one ration)",
    status=EXACT,
)
def test_a_plan_that_the_animal_resists_is_told() -> None:
    plan = seen.Plan(NOW - 107 * DAY, "weight", -0.5)
    told = facts(weight_trend=trend("weight", -0.16, 0.1), plan=plan)
    assert found("plan_off_track", told) is not None


def test_a_plan_is_given_its_first_weeks_and_is_measured_on_its_own_scale() -> None:
    slow = trend("weight", 0.0, 0.1)
    early = seen.Plan(NOW - 27 * DAY, "weight", -0.7)
    begun = replace(slow, since=NOW - 20 * DAY)
    assert found("plan_off_track", facts(weight_trend=begun, plan=early)) is None
    ripe = replace(early, start=NOW - 28 * DAY)
    assert found("plan_off_track", facts(weight_trend=begun, plan=ripe)) is not None
    gain = seen.Plan(NOW - 60 * DAY, "five", 0.25)
    assert found("plan_off_track", facts(score_trend=trend("five", 0.0, 0.1), plan=gain))
    assert not found("plan_off_track", facts(score_trend=trend("nine", 0.0, 0.1), plan=gain))
    assert not found("plan_off_track", facts(plan=gain))
    with pytest.raises(ValueError, match="finite"):
        seen.Plan(NOW, "weight", float("nan"))


@pytest.mark.parametrize(("days", "is_found"), [(3, False), (4, True), (400, True)])
def test_an_animal_that_nobody_scored_since_it_came_is_told(days: int, is_found: bool) -> None:
    came = NOW - days * DAY
    assert (found("never_scored", facts(arrived_at=came)) is not None) == is_found
    scored = facts(five(6, 6, 6, days=days), arrived_at=came)
    assert found("never_scored", scored) is None
    before = facts(five(6, 6, 6, days=days + 30), arrived_at=came)
    assert (found("never_scored", before) is not None) == is_found
    only_seen = facts(five(6, 6, 6, manner="visual"), arrived_at=came)
    assert (found("never_scored", only_seen) is not None) == is_found


def test_never_scored_is_told_instead_of_overdue_and_again_each_day() -> None:
    told = facts(arrived_at=NOW - 9 * DAY, score_due_at=NOW - 9 * DAY, resolved={})
    assert names(told) == {"never_scored"}
    assert names(replace(told, resolved={"never_scored": answered(NOW - DAY)})) == {"never_scored"}
    assert names(replace(told, palpated=five(6, 6, 6, days=8))) == {"overdue"}


def test_a_missed_daily_look_is_for_today_and_is_told_beside_all_else() -> None:
    told = facts(five(2, 2, 2), check_due_at=NOW - DAY, score_due_at=NOW - 3 * DAY)
    finding = found("overdue", told)
    assert finding is not None
    assert (finding.severity, finding.advice.key) == ("act", "look_now")
    assert finding.what_not_to_do.key == "no_change_of_feed_before_vet"
    assert finding.reason.params["what"] == "score,check"
    mild = found("overdue", replace(told, check_due_at=NOW))
    assert mild is not None
    assert (mild.severity, mild.advice.key) == ("watch", "look_again_soon")
    never = replace(told, palpated=None, arrived_at=NOW - 9 * DAY)
    assert {"overdue", "never_scored"} <= names(never)
