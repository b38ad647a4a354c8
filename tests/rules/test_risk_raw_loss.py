"""Losing fast by raw weights: in how long, when it is over, and what is said of a mare."""

from dataclasses import replace

import pytest

from scoring.rules import risk, seen
from tests.outside import EXACT, outside
from tests.rules.animals import DAY, NOW, facts, found, weights
from yards.rules import breeding

BURDEN = "Burden et al. 2011, JVIM, 10.1111/j.1939-1676.2011.00798.x"
IN_FOAL, IN_MILK = breeding.Bred(in_foal="yes"), breeding.Bred(in_milk=True)


@outside(
    "more than 15% lost within 60 days counts as starved, 15% does not",
    source="LSU AgCenter on equine neglect",
    status=EXACT,
)
@pytest.mark.parametrize(
    ("days", "kg", "is_found"),
    [(60, "424.9", True), (60, "425", False), (10, "424.9", True)],
)
def test_over_fifteen_per_cent_in_sixty_days(days: int, kg: str, is_found: bool) -> None:
    finding = found("losing_fast", facts(weights=weights((days, "500"), (0, kg))))
    assert (finding is not None) == is_found
    assert finding is None or finding.severity == "act"


@outside("more than 10 kg in a month in donkeys, 10 kg not", source=BURDEN, status=EXACT)
@pytest.mark.parametrize(
    ("species", "kg", "is_found"),
    [("donkey", "169.9", True), ("donkey", "170", False), ("horse", "169", False)],
)
def test_a_donkey_that_lost_over_ten_kilograms(species: str, kg: str, is_found: bool) -> None:
    told = facts(species=species, weights=weights((28, "180"), (0, kg)))
    finding = found("losing_fast", told)
    assert (finding is not None) == is_found
    assert finding is None or finding.reason.key == "losing_fast_donkey"


@pytest.mark.parametrize(
    ("species", "before", "kg", "is_found"),
    [
        ("horse", ((61, "500"),), "300", True),  # 40%: no loss ends on the sixty-first day
        ("horse", ((61, "500"), (59, "300")), "300", True),
        ("horse", ((120, "500"),), "350", False),  # 30% in twice the time is 15%
        ("horse", ((120, "500"),), "349.9", True),
        ("horse", ((61, "500"),), "424.9", False),
        ("horse", ((90, "600"), (70, "500")), "430", False),  # the last one before, not the first
        ("donkey", ((32, "180"),), "150", True),
        ("donkey", ((62, "180"),), "160", False),  # 20 kg in two months are 10 in one
        ("donkey", ((62, "180"),), "159.9", True),
        ("horse", ((62, "180"),), "159.9", False),
    ],
)
def test_a_loss_over_a_longer_time_counts_pro_rata(
    species: str, before: tuple[tuple[float, str], ...], kg: str, is_found: bool
) -> None:
    """Chosen here; the source says nothing of longer times."""
    told = facts(species=species, weights=weights(*before, (0, kg)))
    finding = found("losing_fast", told)
    assert (finding is not None) == is_found
    if finding is not None:
        assert finding.reason.params["days"] == before[0][0]


@pytest.mark.parametrize(
    ("earlier", "method", "is_judged"),
    [
        ((50, 10), "weighbridge", True),
        ((50, 10), "weigh_tape", True),
        ((50, 10), "estimate", False),
        ((70,), "weighbridge", False),
        ((), "weighbridge", False),
    ],
)
def test_only_two_weighings_and_no_guess_end_a_fast_loss(
    earlier: tuple[int, ...], method: str, is_judged: bool
) -> None:
    held = weights(*((days, "420") for days in earlier))
    told = facts(weights=(*held, *weights((0, "425"), method=method)))
    assert found("losing_fast", told) is None
    assert ("losing_fast" in risk.judged(told)) == is_judged


def test_a_mares_fast_loss_names_foal_and_milk_and_what_not_to_do() -> None:
    told = facts(weights=weights((50, "600"), (0, "500")))
    for bred, key in (
        (IN_FOAL, "risk_in_foal"),
        (IN_MILK, "risk_in_milk"),
        (breeding.Bred(in_foal="perhaps"), "risk_perhaps_in_foal"),
    ):
        finding = found("losing_fast", replace(told, bred=bred))
        assert finding is not None
        assert finding.evidence[-1].key == key
        assert finding.what_not_to_do.key == "never_starve_a_mare"
    plain = found("losing_fast", told)
    assert plain is not None
    assert len(plain.evidence) == 2
    assert plain.what_not_to_do.key == "no_change_of_feed_before_vet"


def test_nothing_silences_the_raw_rules() -> None:
    """Neither another tape, nor foaling, nor the first week of a diet."""
    told = facts(
        weights=(*weights((20, "500")), *weights((0, "420"), method="weigh_tape")),
        foaled_at=NOW - 10 * DAY,
        plan=seen.Plan(NOW - 3 * DAY, "weight", -1.0),
    )
    finding = found("losing_fast", told)
    assert finding is not None
    assert {each.params["method"] for each in finding.evidence} == {"weighbridge", "weigh_tape"}
