"""The risk rules, each at its edge, against what was published."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from decimal import Decimal

import pytest

from scoring.rules import risk, seen

SPRING = datetime(2026, 4, 12, 9, tzinfo=UTC)
FACTS = risk.Facts(SPRING, "horse", "Europe/London")


def five(*halves: int | None, manner: str = "palpated", days: int = 0) -> seen.Score:
    at = SPRING - timedelta(days=days)
    neck, back, hind = halves
    return seen.Score(at, at, "five", manner, neck, back, hind)


def whole(halves: int, scale: str) -> seen.Score:
    return seen.Score(SPRING, SPRING, scale, "palpated", whole=halves)


def found(rule: str, facts: risk.Facts) -> risk.Finding | None:
    return next((each for each in risk.find(facts) if each.rule == rule), None)


@pytest.mark.parametrize(
    ("score", "alerts"),
    [
        (five(8, 8, 8), True),
        (five(7, 8, 8), True),  # 3.83 is a 4
        (five(7, 7, 8), False),  # 3.67 is a 3.5
        # Obese is 7 and more of 9: Giles et al. 2014, PeerJ 2:e299.
        (whole(14, "nine"), True),
        (whole(13, "nine"), False),
    ],
)
def test_fat_in_spring_goes_by_the_nearest_half(score: seen.Score, alerts: bool) -> None:
    facts = replace(FACTS, newest=score, palpated=score)
    finding = found("fat_in_spring", facts)
    assert (finding is not None) == alerts
    if finding is not None:
        assert finding.severity == "act"
        summer = replace(facts, now=datetime(2026, 6, 1, 9, tzinfo=UTC))
        assert found("fat_in_spring", summer) is None


def test_an_old_reading_says_score_again_first() -> None:
    old = five(8, 8, 8, days=29)
    finding = found("fat_in_spring", replace(FACTS, newest=old, palpated=old))
    assert finding is not None
    assert finding.advice.key == "score_again_first"


@pytest.mark.parametrize(
    ("score", "alerts"),
    [
        # Henneke 1 and 2, or 0 to 1 on 0-5: a vet at once (Indiana Horse Council's triage chart,
        # read; the 0-5 figures are a composite from memory).
        (five(2, 2, 2), True),
        (five(3, 2, 2), True),  # 1.17 is a 1
        (five(3, 3, 2), False),  # 1.33 is a 1.5
        (five(6, 6, 1), True),  # any region of half a point or less
        (five(None, 1, None), True),
        (five(2, 2, 2, manner="visual"), True),
        (whole(4, "nine"), True),
        (whole(5, "nine"), False),
    ],
)
def test_emaciated_is_urgent_also_when_only_seen_or_in_part(
    score: seen.Score, alerts: bool
) -> None:
    finding = found("emaciated", replace(FACTS, newest=score))
    assert (finding is not None) == alerts
    if finding is not None:
        assert (finding.severity, finding.advice.key) == ("urgent", "vet_before_feeding")


def test_danger_signs_are_urgent() -> None:
    signs = (seen.Signs(SPRING, SPRING, ("cannot_rise",)),)
    finding = found("danger_signs", replace(FACTS, signs=signs))
    assert finding is not None
    assert finding.severity == "urgent"


def weights(species: str, *pairs: tuple[int, str]) -> risk.Facts:
    taken = tuple(
        seen.Weight(SPRING - timedelta(days=d), SPRING, Decimal(kg), "weighbridge")
        for d, kg in pairs
    )
    return replace(FACTS, species=species, weights=taken)


def test_over_fifteen_per_cent_in_sixty_days_is_found() -> None:
    """Over 15% of weight lost within 60 days: LSU AgCenter's criterion of starvation."""
    assert found("losing_fast", weights("horse", (60, "500"), (0, "424"))) is not None
    assert found("losing_fast", weights("horse", (60, "500"), (0, "426"))) is None


def test_a_donkey_that_lost_over_ten_kilograms_in_a_month_is_found() -> None:
    """Burden et al. 2011, J Vet Intern Med: loss over 10 kg in the past month, odds ratio 6.4."""
    assert found("losing_fast", weights("donkey", (28, "180"), (0, "169"))) is not None
    assert found("losing_fast", weights("donkey", (28, "180"), (0, "171"))) is None


def test_a_crest_of_three_is_found_also_on_a_thin_body() -> None:
    """Giles et al. 2015, BMC Vet Res 11:13: a crest of 3 or more is cresty."""
    thin = replace(five(4, 4, 4), crest=6)
    assert found("crest_raised", replace(FACTS, newest=thin, palpated=thin, crest=thin)) is not None
    flat = replace(five(4, 4, 4), crest=5)
    assert found("crest_raised", replace(FACTS, newest=flat, palpated=flat, crest=flat)) is None


def test_a_visual_reading_clears_no_fat_that_was_felt() -> None:
    seen_only = five(4, 4, 4, manner="visual")
    assert "fat_in_spring" not in risk.judged(replace(FACTS, newest=seen_only))
