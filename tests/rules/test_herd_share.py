"""Shares with Wilson's interval, against published figures and another's code."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from scoring.rules import checked, herd_share
from tests.oracles import proportion
from tests.outside import FROM_MEMORY, WITHIN_TOLERANCE, outside

Z95 = 1.959963984540054


@outside(
    "Wilson's 95% interval of 81 of 263, 15 of 148, 0 of 20 and 1 of 29, to four places",
    source="Newcombe 1998, Statistics in Medicine 17:857-872, table I, method 3",
    status=FROM_MEMORY,
)
@pytest.mark.parametrize(
    ("count", "known", "low", "high"),
    [
        (81, 263, 0.2553, 0.3662),
        (15, 148, 0.0624, 0.1605),
        (0, 20, 0.0, 0.1611),
        (1, 29, 0.0061, 0.1718),
    ],
)
def test_wilson_as_printed(count: int, known: int, low: float, high: float) -> None:
    found = herd_share.wilson(count, known, Z95)
    assert (round(found.low, 4), round(found.high, 4)) == (low, high)


@outside(
    "Wilson's 80% interval of any count of up to 20,000, to 1e-9",
    source="statsmodels.stats.proportion.proportion_confint, run beside ours",
    status=WITHIN_TOLERANCE,
)
@given(st.integers(1, 20_000).flatmap(lambda n: st.tuples(st.integers(0, n), st.just(n))))
def test_wilson_is_that_of_statsmodels(told: tuple[int, int]) -> None:
    count, known = told
    low, high = proportion.proportion_confint(count, known, alpha=0.2, method="wilson")
    found = herd_share.wilson(count, known)
    assert found.low == pytest.approx(max(0, low), abs=1e-9)
    assert found.high == pytest.approx(min(1, high), abs=1e-9)


@given(st.integers(1, 500).flatmap(lambda n: st.tuples(st.integers(0, n), st.just(n))))
def test_an_interval_holds_its_share_and_mirrors(told: tuple[int, int]) -> None:
    count, known = told
    found, other = herd_share.wilson(count, known), herd_share.wilson(known - count, known)
    assert 0 <= found.low <= found.value <= found.high <= 1
    assert found.low == pytest.approx(1 - other.high)
    wider = herd_share.wilson(count, known, Z95)
    assert wider.low <= found.low <= found.high <= wider.high


def test_of_few_horses_there_is_no_share() -> None:
    assert herd_share.share(3, herd_share.FEWEST - 1) is None
    assert herd_share.share(0, 0) is None
    assert herd_share.share(3, herd_share.FEWEST) is not None


def test_more_than_there_are_is_refused() -> None:
    for count, known in ((1, 0), (3, 2), (-1, 5)):
        with pytest.raises(checked.OutOfRange):
            herd_share.wilson(count, known)


@outside(
    "Newcombe's 95% interval of 56 of 70 less 48 of 80, to four places",
    source="Newcombe 1998, Statistics in Medicine 17:873-890, table II, method 10",
    status=FROM_MEMORY,
)
def test_a_difference_as_printed() -> None:
    found = herd_share.difference((56, 70), (48, 80), Z95)
    assert found is not None
    assert (round(found.low, 4), round(found.high, 4)) == (0.0524, 0.3339)


@outside(
    "Newcombe's 80% interval of the difference of any two shares, to 1e-9",
    source="statsmodels.stats.proportion.confint_proportions_2indep, run beside ours",
    status=WITHIN_TOLERANCE,
)
@given(*(st.integers(10, 2000).flatmap(lambda n: st.tuples(st.integers(0, n), st.just(n))),) * 2)
def test_a_difference_is_that_of_statsmodels(now: tuple[int, int], then: tuple[int, int]) -> None:
    low, high = proportion.confint_proportions_2indep(
        *now, *then, method="newcomb", compare="diff", alpha=0.2
    )
    found = herd_share.difference(now, then)
    assert found is not None
    assert found.low == pytest.approx(low, abs=1e-9)
    assert found.high == pytest.approx(high, abs=1e-9)


def test_of_few_horses_there_is_no_difference() -> None:
    assert herd_share.difference((3, 9), (30, 90)) is None
    assert herd_share.difference((30, 90), (3, 9)) is None
