"""What changing a score takes: kilograms, energy and days against what is published."""

from datetime import date, datetime, timedelta
from decimal import Decimal
from typing import Any

import pytest

from scoring.rules import ration_keys, weight_change
from tests.outside import EXACT, WITHIN_TOLERANCE, outside
from yards.rules import errors, fixture

DATA = fixture.load("weight_change")
MAGAZINE = "The Horse, February 2019, page 40, on the scale of Henneke and NRC 2007"
START = date(2026, 3, 2)
TENTH = Decimal("0.1")


def span(low: str, high: str) -> tuple[Decimal, Decimal]:
    return Decimal(low), Decimal(high)


def tenths(span: tuple[Decimal, Decimal]) -> tuple[str, str]:
    return f"{span[0]:.1f}", f"{span[1]:.1f}"


def whole(span: tuple[Decimal, Decimal]) -> tuple[str, str]:
    return f"{span[0]:.0f}", f"{span[1]:.0f}"


@outside(
    "one score of Henneke is 16 to 20 kg for a horse of 500 kg, 400 Mcal for 20 kg",
    source=MAGAZINE,
    status=EXACT,
)
def test_one_score_of_500_kg() -> None:
    point = weight_change.one_point(500, "nine")
    assert point.kg == span("16", "20")
    assert not point.is_approximate
    assert weight_change._total(point)[1] == 400


@outside(
    "400 Mcal take about 100 days at 4 to 4.5 Mcal a day, and 45 days at about 9",
    source=MAGAZINE,
    status=WITHIN_TOLERANCE,
)
def test_days_at_an_extra_as_a_magazine_works_it_out() -> None:
    assert weight_change.days_to_gain(500, 4).high == 100
    assert weight_change.days_to_gain(500, Decimal("4.5")).high == 89
    assert weight_change.gain_in(500, 45).extra_mcal[1] == pytest.approx(Decimal(9), abs=TENTH * 2)


@outside(
    "extra energy of one score at 500 kg in 60 to 180 days, and its share of maintenance",
    source="16 to 20 kg (NRC 2007) times 20 Mcal over the days: The Horse, February 2019; worked "
    "case 400 Mcal over 90 days, 4.4 a day",
    status=WITHIN_TOLERANCE,
)
@pytest.mark.parametrize(
    ("days", "mcal", "percent"),
    [
        (60, ("5.3", "6.7"), ("32", "40")),
        (90, ("3.6", "4.4"), ("21", "27")),
        (120, ("2.7", "3.3"), ("16", "20")),
        (150, ("2.1", "2.7"), ("13", "16")),
        (180, ("1.8", "2.2"), ("11", "13")),
    ],
)
def test_extra_energy_by_days(days: int, mcal: Any, percent: Any) -> None:
    found = weight_change.gain_in(500, days)
    assert tenths(found.extra_mcal) == mcal
    assert whole(found.percent) == percent


@outside(
    "45 lb of gain at 8 to 9 Mcal a pound, about 380 Mcal, over 90 days: about 4.5 Mcal a day",
    source="A riders' magazine on weight gain in numbers, for a horse of 1,100 lb",
    status=WITHIN_TOLERANCE,
)
def test_another_magazine_lies_within_half_a_megacalorie() -> None:
    assert abs(weight_change.gain_in(499, 90).extra_mcal[1] - Decimal("4.5")) < Decimal("0.5")


@outside(
    "a kilogram gained took 19, 34 and 18 Mcal in three trials of one herd, 24 over all",
    source="J Equine Vet Sci 2017, 35 Quarter Horses of 462 kg and score 4.5, abstract",
    status=EXACT,
)
def test_a_trial_found_more_than_what_is_quoted_and_both_stand() -> None:
    rows = {(row["low"], row["high"]): row["used"] for row in DATA["mcal_per_kg_gain"]}
    assert rows == {("20", "20"): True, ("18", "20"): False, ("18", "34"): False}
    assert "change_energy_varies" in weight_change.gain_in(500, 90).cautions


@outside(
    "15 kg in colts and 20 in fillies of 450 kg lie near 3.2 to 4% a score",
    source="Kentucky survey of yearlings in sale season, as read in extension notes",
    status=WITHIN_TOLERANCE,
)
def test_yearlings_of_a_survey_lie_near() -> None:
    low, high = weight_change.one_point(450, "nine").kg
    assert (low, high) == span("14.4", "18")
    assert abs(low - 15) <= 2
    assert abs(high - 20) <= 2


def test_every_group_of_sources_uses_one_row_and_names_each() -> None:
    for group in ("kg_per_point", "mcal_per_kg_gain", "loss_percent_a_week"):
        rows = DATA[group]
        assert len([row for row in rows if row["used"]]) == 1
        assert all(row["source"] for row in rows)
        assert {row["confidence"] for row in rows} <= {"read", "secondary", "memory", "ours"}


def test_0_to_5_has_no_weight_per_point_unless_approximate_will_do() -> None:
    with pytest.raises(errors.Invalid) as caught:
        weight_change.one_point(500, "five")
    assert caught.value.errors[0].key == "no_weight_per_point"
    point = weight_change.one_point(500, "five", is_approximate_enough=True)
    assert point.kg == span("32", "40")
    assert point.is_approximate
    assert "change_approximate_on_five" in point.cautions
    for found in (
        weight_change.gain_in(500, 120, "five", is_approximate_enough=True),
        weight_change.days_to_gain(500, 6, "five", is_approximate_enough=True),
        weight_change.days_to_lose(500, "five", is_approximate_enough=True),
    ):
        assert found.is_approximate
        assert "change_approximate_on_five" in found.cautions


@pytest.mark.parametrize("scale", ["donkey", "crest", "ten"])
def test_other_scales_are_refused_whatever_will_do(scale: str) -> None:
    for enough in (False, True):
        with pytest.raises(errors.Invalid) as caught:
            weight_change.one_point(180, scale, is_approximate_enough=enough)
        assert caught.value.errors[0].key == "no_weight_per_point"


@outside(
    "half to 1% of weight a week, and not the first week",
    source="Researchers quoted in The Horse, February 2019",
    status=EXACT,
)
def test_safe_weekly_loss() -> None:
    assert weight_change.weekly_loss(500) == span("2.5", "5")


def test_days_to_lose_one_score_have_the_first_week_on_top() -> None:
    found = weight_change.days_to_lose(500)
    # 16 kg at 5 kg a week, 22.4 days; 20 kg at 2.5 kg a week, 56 days.
    assert (found.low, found.high) == (7 + 22, 7 + 56)
    assert {"change_girth_before_score", "change_first_week_left_out"} <= set(found.cautions)


def fall(*percents: str) -> list[tuple[date, Decimal]]:
    """Weighings each week from the start on, by what is lost of 400 kg in all."""
    return [
        (START + timedelta(weeks=week), 400 * (1 - Decimal(lost) / 100))
        for week, lost in enumerate(("0", *percents))
    ]


@outside(
    "five pony mares lost 4.3% in the first week, then 0.7% a week: within 0.5 to 1%, week 1 out",
    source="Dugdale et al. 2010, Equine Vet J",
    status=WITHIN_TOLERANCE,
)
def test_a_diet_as_measured_is_as_aimed_without_its_first_week() -> None:
    found = weight_change.pace(START, fall("4.3", "5.0", "5.7", "6.4", "7.1"))
    assert found.verdict == "pace_as_aimed"
    assert found.percent_a_week == pytest.approx(Decimal("0.7"), abs=Decimal("0.05"))
    assert found.first_on == START + timedelta(7)
    # With its first week it would be 1.4% a week, too fast.
    assert Decimal("7.1") / 5 > 1


@outside(
    "at 1.25% of weight in dry matter 0.16 to 0.55% a week were lost: often slower than aimed at",
    source="Argo et al. 2012, Vet J",
    status=WITHIN_TOLERANCE,
)
def test_a_slow_loser_is_told_so_and_not_to_cut() -> None:
    found = weight_change.pace(START, fall("2", "2.2", "2.4", "2.6"))
    assert found.verdict == "pace_slower"
    assert "change_often_slower" in found.cautions


@pytest.mark.parametrize(
    ("percents", "verdict"),
    [
        ((), "pace_not_yet"),
        (("4.3",), "pace_not_yet"),
        (("4.3", "5.0"), "pace_not_yet"),
        (("4.3", "5.9", "7.5"), "pace_too_fast"),
        (("4.3", "4.0", "4.0"), "pace_no_loss"),
        (("4.3", "4.3", "4.3"), "pace_no_loss"),
    ],
)
def test_pace(percents: tuple[str, ...], verdict: str) -> None:
    found = weight_change.pace(START, fall(*percents))
    assert found.verdict == verdict
    assert (found.percent_a_week is None) is (verdict == "pace_not_yet")
    assert "change_first_week_left_out" in found.cautions


def test_nothing_and_a_single_weighing_are_ordinary() -> None:
    assert weight_change.pace(START, []).verdict == "pace_not_yet"
    assert weight_change.pace(START, [(START + timedelta(30), 400)]).verdict == "pace_not_yet"


def test_a_point_one_per_cent_is_the_edge_of_too_fast() -> None:
    edge = [(START + timedelta(7), Decimal(400)), (START + timedelta(21), Decimal(392))]
    assert weight_change.pace(START, edge).verdict == "pace_as_aimed"
    beyond = [edge[0], (edge[1][0], Decimal("391.9"))]
    assert weight_change.pace(START, beyond).verdict == "pace_too_fast"


def test_two_weighings_of_one_day_count_as_their_mean() -> None:
    day = START + timedelta(7)
    twice = [(day, 398), (day, 402), (day + timedelta(14), 396)]
    assert weight_change.pace(START, twice).percent_a_week == Decimal("0.5")


def test_everything_that_goes_out_has_its_cautions() -> None:
    for found in (
        weight_change.one_point(500, "nine"),
        weight_change.gain_in(500, 50),
        weight_change.days_to_gain(500, 5),
        weight_change.days_to_lose(500),
        weight_change.pace(START, []),
        weight_change.pace(START, fall("4.3", "5.0", "5.7", "6.4")),
    ):
        assert set(ration_keys.ALWAYS) <= set(found.cautions) <= set(weight_change.CAUTIONS)
    assert "change_faster_than_published" in weight_change.gain_in(500, 59).cautions
    assert "change_faster_than_published" not in weight_change.gain_in(500, 60).cautions


@pytest.mark.parametrize(
    ("made", "field", "key"),
    [
        (lambda: weight_change.gain_in(500, 44), "days", "out_of_range"),
        (lambda: weight_change.gain_in(500, 366), "days", "out_of_range"),
        (lambda: weight_change.gain_in(500, 90.5), "days", "not_a_whole_number"),  # type: ignore[arg-type]
        (lambda: weight_change.days_to_gain(500, 0), "extra_mcal", "out_of_range"),
        (lambda: weight_change.days_to_gain(500, 30), "extra_mcal", "out_of_range"),
        (lambda: weight_change.weekly_loss(float("nan")), "weight_kg", "not_a_number"),
        (lambda: weight_change.pace(datetime(2026, 3, 2), []), "start_on", "not_a_date"),  # noqa: DTZ001
        (lambda: weight_change.pace(START, [(START, -4)]), "weight_kg", "out_of_range"),
    ],
)
def test_what_cannot_be_is_refused_at_its_field(made: Any, field: str, key: str) -> None:
    with pytest.raises(errors.Invalid) as caught:
        made()
    assert [(each.field, each.key) for each in caught.value.errors] == [(field, key)]
