"""A horse's months as a word, the order of worry, and half points outside a band."""

from decimal import Decimal

from hypothesis import given
from hypothesis import strategies as st

from scoring.rules import band, herd_place, herd_step
from scoring.rules.herd_place import Worry

WORDS = st.text(st.sampled_from(herd_place.LETTERS), min_size=1, max_size=24)


def worry(letters: str) -> Worry:
    return herd_place.worry(letters, is_here=True)


def test_the_order_of_worry() -> None:
    assert worry("wwnbbnb") == Worry("below", 3)
    assert worry("bbwwaa") == Worry("above", 2)
    assert worry("-wwvun") == Worry("unknown", 3)
    assert worry("---nnn") == Worry("unknown", 6)
    assert worry("bbbwnn") == Worry("within", 0)
    # What was outside when last felt stays so, however long nobody has felt it since.
    assert worry("bnnnnn") == Worry("below", 1)
    assert herd_place.worry("bbbbbb", is_here=False) == Worry("gone", 0)


@given(WORDS)
def test_only_felt_scores_make_a_run(letters: str) -> None:
    felt = "".join(each for each in letters if each in "bwa")
    assert herd_place.run(letters) == herd_place.run(felt) <= len(felt)
    if felt:
        last = felt[-1]
        tail = felt[len(felt) - herd_place.run(letters) :]
        assert set(tail) == {last}
        assert not felt.removesuffix(tail).endswith(last)


@given(WORDS)
def test_months_unread_are_those_after_the_last_felt(letters: str) -> None:
    many = herd_place.unread(letters)
    assert not set(letters[len(letters) - many :]) & set("bwa")
    assert many == len(letters) or letters[len(letters) - many - 1] in "bwa"


@given(WORDS)
def test_counts_add_up_to_those_who_are_here(letters: str) -> None:
    told = herd_place.count(list(letters))
    assert sum(told.values()) == len(letters) - letters.count("-")


def test_a_word_has_a_letter_for_every_month() -> None:
    assert herd_place.word({2: "b", 4: "n"}, 5) == "-b-n-"


def test_half_points_outside_a_band() -> None:
    low, high = Decimal("2.50"), Decimal("3.00")
    assert [herd_step.step(each, low, high) for each in range(3, 9)] == [-2, -1, 0, 0, 1, 2]
    # A quarter point outside is a step too.
    assert herd_step.step(4, Decimal("2.25"), high) == -1


@given(
    st.integers(0, 18),
    st.integers(0, 36).flatmap(lambda low: st.tuples(st.just(low), st.integers(low + 1, 37))),
)
def test_a_step_is_outside_just_where_the_place_is(halves: int, edges: tuple[int, int]) -> None:
    low, high = (Decimal(each) / 4 for each in edges)
    found = band.Band("five", "vet", low, low, high, "", "vet")
    told = herd_step.step(halves, low, high)
    place = band.place(halves, found)
    assert place == {-1: "below", 0: "within", 1: "above"}[(told > 0) - (told < 0)]


@given(st.dictionaries(st.integers(-20, 20), st.integers(1, 99), max_size=9))
def test_bins_hold_everybody_and_have_no_holes(steps: dict[int, int]) -> None:
    bins = herd_step.binned(steps)
    assert sum(bins.values()) == sum(steps.values())
    assert list(bins) == list(range(min(bins), max(bins) + 1))
    assert {-1, 0, 1} <= set(bins)
    assert max(abs(each) for each in bins) <= herd_step.MOST
