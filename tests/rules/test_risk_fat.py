"""Too fat: in spring, at any time, above the band, and in one place; each at its edge."""

from dataclasses import replace
from datetime import UTC, datetime

import pytest

from scoring.rules import risk, seen
from tests.outside import COMMON_PRACTICE, EXACT, FROM_MEMORY, outside
from tests.rules.animals import NOW, WINTER, answered, edges, facts, five, found, names, whole
from yards.rules import breeding

SUMMER = datetime(2026, 6, 1, 9, tzinfo=UTC)
MAY = datetime(2026, 5, 15, 9, tzinfo=UTC)


@outside(
    "7 and more of 9 is obese, and 6.5 is not",
    source="Giles et al. 2014, PeerJ 2:e299",
    status=EXACT,
)
@pytest.mark.parametrize("rule", ["fat", "fat_in_spring"])
def test_seven_of_nine_is_fat(rule: str) -> None:
    assert found(rule, facts(whole(14, "nine"))) is not None
    assert found(rule, facts(whole(13, "nine"))) is None


@outside(
    "4 and more of 5 is obese, on 0-5 and on the donkeys' own chart",
    source="UK charity charts after Carroll and Huntington 1988, EVJ 20:41-45",
    status=FROM_MEMORY,
)
@pytest.mark.parametrize("rule", ["fat", "fat_in_spring"])
@pytest.mark.parametrize(
    ("score", "is_fat"),
    [
        (five(8, 8, 8), True),
        (five(7, 8, 8), True),  # 3.83 is a 4
        (five(7, 7, 8), False),  # 3.67 is a 3.5
        (five(8, 7, 8, fat_pocket="marked"), True),  # back 3.5 and the pocket's half
        (whole(8, "donkey"), True),
        (whole(7, "donkey"), False),
    ],
)
def test_four_of_five_is_fat_by_the_nearest_half(
    rule: str, score: seen.Score, is_fat: bool
) -> None:
    assert (found(rule, facts(score)) is not None) == is_fat


@outside(
    "laminitis comes in every season, so a fat horse is told of in every month",
    source="Pollard et al. 2019, Equine Veterinary Journal (PubMed 30516850)",
    status=EXACT,
)
@pytest.mark.parametrize("month", range(1, 13))
def test_fat_is_found_in_every_month(month: int) -> None:
    told = facts(five(8, 8, 8), now=datetime(2027, month, 15, tzinfo=UTC))
    assert names(told) & {"fat", "fat_in_spring"}


@outside(
    "the peak of laminitis, in May, lies within the spring that is acted on",
    source="Menzies-Gow et al. 2010, Veterinary Record 167:690",
    status=EXACT,
)
def test_fat_in_spring_is_for_today_and_holds_in_spring_only() -> None:
    told = facts(five(8, 8, 8))
    for now, holds in ((NOW, True), (MAY, True), (SUMMER, False), (WINTER, False)):
        finding = found("fat_in_spring", replace(told, now=now))
        assert (finding is not None) == holds
        assert finding is None or finding.severity == "act"
    south = replace(told, now=datetime(2026, 10, 15, tzinfo=UTC), hemisphere="south")
    assert found("fat_in_spring", south) is not None


@pytest.mark.parametrize("rule", ["fat", "fat_in_spring"])
@pytest.mark.parametrize(("days", "key"), [(28, False), (29, True)])
def test_an_old_reading_says_score_again_first(rule: str, days: int, key: bool) -> None:
    finding = found(rule, facts(five(8, 8, 8, days=days)))
    assert finding is not None
    assert (finding.advice.key == "score_again_first") == key


@outside(
    "three of four laminitic animals had had it before: with it on record fat is for today",
    source="Pollard et al. 2019, Equine Veterinary Journal (PubMed 30516850)",
    status=EXACT,
)
@pytest.mark.parametrize(
    ("record", "severity"),
    [
        ({}, "watch"),
        ({"laminitis": "past"}, "act"),
        ({"laminitis": "within_a_year"}, "act"),
        ({"laminitis": "never", "endocrine": "none"}, "watch"),
        ({"endocrine": "suspected"}, "act"),
    ],
)
def test_fat_is_watched_and_acted_on_where_laminitis_is_on_record(
    record: dict[str, str], severity: str
) -> None:
    finding = found("fat", facts(five(8, 8, 8), now=WINTER, **record))
    assert finding is not None
    assert finding.severity == severity
    assert len(finding.evidence) == 1 + (severity == "act")


@outside(
    "more than 3 on 0-5 is overweight: with the usual band it lies above",
    source="Stephenson et al. 2011, Veterinary Record 168:131",
    status=EXACT,
)
def test_above_band_goes_by_the_nearest_half_and_by_its_own_scale() -> None:
    band = edges("2.0", "3.0")
    assert found("above_band", facts(five(6, 6, 7), edges=band)) is None  # 3.17 is a 3
    finding = found("above_band", facts(five(6, 7, 7), edges=band))  # 3.33 is a 3.5
    assert finding is not None
    assert finding.severity == "watch"
    assert found("above_band", facts(whole(14, "nine"), edges=band)) is None
    nine = edges("4.0", "6.0", "nine")
    assert found("above_band", facts(whole(13, "nine"), edges=nine)) is not None
    assert found("above_band", facts(five(6, 7, 7))) is None


@pytest.mark.parametrize("rule", ["fat", "fat_in_spring", "above_band"])
def test_only_what_was_felt_counts(rule: str) -> None:
    only_seen = facts(five(8, 8, 8, manner="visual"), edges=edges("2.0", "3.0"))
    assert found(rule, only_seen) is None
    assert not risk.judged(only_seen) & {"fat", "fat_in_spring", "above_band"}


@outside(
    "a crest of 3 or more is raised fat, on a lean body too",
    source="Giles et al. 2015, BMC Veterinary Research 11:13",
    status=EXACT,
)
def test_a_crest_of_three_is_found_on_a_thin_body() -> None:
    assert found("crest_raised", facts(five(4, 4, 4, crest=6), now=WINTER)) is not None
    assert found("crest_raised", facts(five(4, 4, 4, crest=5), now=WINTER)) is None


@outside(
    "a crest of 3 or more had five times the odds of insulin dysregulation: with more risk, today",
    source="Fitzgerald et al. 2019, PLoS One 14:e0220203",
    status=EXACT,
)
@pytest.mark.parametrize(
    ("record", "severity"),
    [
        ({"now": WINTER}, "watch"),
        ({"now": NOW}, "act"),
        ({"now": WINTER, "laminitis": "past"}, "act"),
        ({"now": WINTER, "endocrine": "confirmed"}, "act"),
    ],
)
def test_a_raised_crest_is_acted_on_when_more_adds_to_the_risk(
    record: dict[str, object], severity: str
) -> None:
    finding = found("crest_raised", facts(five(4, 4, 4, crest=6), **record))
    assert finding is not None
    assert finding.severity == severity


@pytest.mark.parametrize("record", [{}, {"laminitis": "past"}, {"now": WINTER}])
@pytest.mark.parametrize(("days", "key"), [(28, False), (29, True), (300, True)])
def test_an_old_crest_is_felt_again_first(
    record: dict[str, datetime], days: int, key: bool
) -> None:
    since = (record.get("now", NOW) - NOW).days
    told = facts(five(4, 4, 4, crest=6, days=days - since), **record)
    finding = found("crest_raised", told)
    assert finding is not None
    assert (finding.advice.key == "feel_crest_again_first") == key


@pytest.mark.parametrize(
    ("score", "is_found"),
    [
        (five(6, 9, 6), True),  # 3.5, back a point above
        (five(6, 8, 6), False),  # 3.33 is a 3.5, back half a point above
        (five(5, 7, 5), False),  # 2.83 is a 3
        (five(4, 7, 4), True),  # 2.5
        (five(2, 6, 2), False),  # far above, but no fat region in itself
        (five(4, 6, 4, fat_pocket="marked"), True),  # 3 and the pocket: 3.5 over 2.5
        (whole(9, "donkey"), False),
    ],
)
def test_a_region_far_above_is_a_point_over_the_overall_and_fat(
    score: seen.Score, is_found: bool
) -> None:
    finding = found("region_far_above", facts(score))
    assert (finding is not None) == is_found
    if finding is not None:
        assert finding.reason.params["regions"] == "back_and_ribs"


@outside(
    "no feed is cut for a mare in foal or in milk without a vet's plan",
    source="what charities and vets tell keepers",
    status=COMMON_PRACTICE,
)
@pytest.mark.parametrize("rule", ["fat", "fat_in_spring", "above_band", "crest_raised"])
def test_a_fat_mare_that_may_be_in_foal_is_never_dieted(rule: str) -> None:
    score = five(8, 8, 8, crest=6)
    for bred in (
        breeding.Bred(in_foal="perhaps"),
        breeding.Bred(in_foal="yes"),
        breeding.Bred(in_milk=True),
    ):
        finding = found(rule, facts(score, bred=bred, edges=edges("2.0", "3.0")))
        assert finding is not None
        assert finding.what_not_to_do.key == "never_starve_a_mare"
    plain = found(rule, facts(score, edges=edges("2.0", "3.0")))
    assert plain is not None
    assert plain.what_not_to_do.key == "never_starve"


def test_a_crest_that_was_resolved_in_winter_is_told_again_in_spring() -> None:
    told = facts(five(4, 4, 4, crest=6))
    assert told.in_spring
    before = replace(told, resolved={"crest_raised": answered(told.now)})
    assert "crest_raised" in names(before), "that it is spring was not known then"
    known = answered(told.now, told=["risk_spring"])
    assert "crest_raised" not in names(replace(told, resolved={"crest_raised": known}))
