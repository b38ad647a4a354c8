"""What a fit finds of hands and instruments, on invented herds of which the truth is known."""

import dataclasses
import json
import math
import subprocess
import sys
from typing import Any

import numpy as np
import pytest

from scoring.rules import checked, fitted, standing, trend, trend_case, trend_fit, trend_prior
from tests.rules import simulated

# Points that each hand scores too high; they make up for each other.
HANDS = {"ann": 0.5, "bea": -0.2, "cay": -0.1, "dot": 0.0, "eve": -0.2}
HIGH = math.log(1.04)
GIVEN = [each.name for each in dataclasses.fields(trend_case.Readings) if each.name != "begins"]


def scores(seed: int = 1, *, horses: int = 60, shared: bool = True) -> trend_case.Readings:
    """Return scores by several hands, each horse by all of them or each by one alone."""
    rng = np.random.default_rng(seed)
    herd = simulated.herd(rng, horses=horses, readings=(6, 14), model=trend.SCORE)
    names = np.array(list(HANDS))
    by = rng.choice(names, herd.size) if shared else names[herd.horse % names.size]
    value = herd.level + np.vectorize(HANDS.get)(by) + rng.normal(0, 0.3, herd.size)
    return simulated.readings(herd, value, method="five", assessor=by.tolist())


def weights(
    seed: int = 2, *, bridge: float = 0.1, alone: bool = False, horses: int = 40
) -> trend_case.Readings:
    """Return weights by two tapes, one of which reads 4% high, and some by a weighbridge.

    ``alone``: each horse knows one tape only.
    """
    rng = np.random.default_rng(seed)
    herd = simulated.herd(rng, horses=horses, readings=(6, 14), model=trend.WEIGHT)
    tape = np.where(herd.horse % 2 if alone else rng.random(herd.size) < 0.5, "high", "plain")
    method = np.where(rng.random(herd.size) < bridge, "weighbridge", "weigh_tape")
    true = method == "weighbridge"
    off = np.where((tape == "high") & ~true, HIGH, 0.0)
    noise = np.where(true, 0.01, 0.02)
    value = math.log(400) + herd.level - 3 + off + rng.normal(0, 1, herd.size) * noise
    instrument = np.where(true, "bridge", tape)
    return simulated.readings(
        herd,
        value,
        method=method.tolist(),
        series="weight",
        instrument=instrument.tolist(),
    )


@pytest.fixture(scope="module")
def found() -> fitted.Fit:
    return trend_fit.fit(scores(), "five")


@pytest.mark.parametrize("seed", range(3))
def test_a_hand_that_scores_half_a_point_high_is_found_within_what_is_told(seed: int) -> None:
    found = trend_fit.fit(scores(seed), "five").assessors
    assert found.offsets.keys() == HANDS.keys()
    for hand, true in HANDS.items():
        told = found.offsets[hand]
        assert told.compared
        assert told.apart_sd < 0.05
        assert abs(told.value - true) < 3 * told.apart_sd
        assert abs(told.value - true) < told.sd
    assert found.offsets["ann"].value > 0.4
    assert sum(each.value for each in found.offsets.values()) == pytest.approx(0.0, abs=1e-9)


def test_offsets_are_off_by_what_is_told_no_more_and_no_less() -> None:
    """Over many herds the errors, over what is told of them, are a standard normal's."""
    errors = []
    for seed in range(100, 107):
        hands = trend_fit.fit(scores(seed, horses=20), "five").assessors.offsets
        errors += [(hands[key].value - true) / hands[key].apart_sd for key, true in HANDS.items()]
        tapes = trend_fit.fit(weights(seed, horses=20), "weight").instruments.offsets
        errors.append((tapes["high"].value - HIGH) / tapes["high"].sd)
        errors.append(tapes["plain"].value / tapes["plain"].sd)
    assert 0.75 < np.std(errors) < 1.25
    assert 0.68 < np.mean(np.abs(errors) < standing.Z80) < 0.92


@pytest.mark.parametrize("seed", range(3))
def test_a_tape_that_reads_high_is_found_beside_a_weighbridge(seed: int) -> None:
    found = trend_fit.fit(weights(seed, horses=60), "weight")
    high, plain = (found.instruments.offsets[key] for key in ("high", "plain"))
    # Anchored: there is nothing that the tapes share and nothing shows.
    assert high.sd == high.apart_sd < 0.005
    assert abs(high.value - HIGH) < 3 * high.sd
    assert abs(plain.value) < 3 * plain.sd
    assert "bridge" not in found.instruments.offsets
    assert found.offset_of("weighbridge", "", "bridge") == 0.0
    assert found.doubts_of("weighbridge", "", "bridge") == ()
    assert found.bridged == (("bridge", "high"), ("bridge", "plain"), ("high", "plain"))


def test_without_a_weighbridge_only_the_difference_of_two_tapes_is_known() -> None:
    given = weights(bridge=0.0)
    found = trend_fit.fit(given, "weight").instruments
    high, plain = found.offsets["high"], found.offsets["plain"]
    assert high.value == pytest.approx(-plain.value)
    assert abs(high.value - plain.value - HIGH) < 3 * math.hypot(high.apart_sd, plain.apart_sd)
    assert high.apart_sd < 0.003
    assert trend_fit.fit(given, "weight").bridged == (("high", "plain"),)
    # What both may share is as unsure as the mean of two from the law of tapes.
    assert high.sd == pytest.approx(math.hypot(high.apart_sd, found.sd / math.sqrt(2)), rel=1e-6)


def test_hands_that_share_no_horse_are_not_compared_and_nothing_is_invented() -> None:
    found = trend_fit.fit(scores(shared=False), "five")
    assert found.reason == ""
    for told in found.assessors.offsets.values():
        assert not told.compared
        assert (told.value, told.sd, told.apart_sd) == pytest.approx(
            (0.0, found.assessors.sd, found.assessors.sd), abs=1e-9
        )
    assert found.offset_of("five", "ann") == 0.0
    assert found.doubts_of("five", "ann") == (("hand:ann", found.assessors.sd),)
    tapes = trend_fit.fit(weights(bridge=0.0, alone=True), "weight")
    assert [each.compared for each in tapes.instruments.offsets.values()] == [False, False]
    assert tapes.bridged == ()


def test_groups_that_never_met_each_have_their_own_mean() -> None:
    one, two = scores(3), scores(4)
    other = [f"other {each}" for each in two.assessor]
    both = trend_case.Readings(
        np.append(one.horse, np.asarray(two.horse) + 1000),
        np.append(one.days, two.days),
        np.append(one.value, two.value),
        *([*one.series, *two.series], [*one.method, *two.method]),
        [*one.assessor, *other],
        [""] * (len(one.series) + len(two.series)),
    )
    offsets = trend_fit.fit(both, "five").assessors.offsets
    for prefix in ("", "other "):
        own = [offsets[prefix + hand].value for hand in HANDS]
        assert sum(own) == pytest.approx(0.0, abs=1e-9)
        assert offsets[prefix + "ann"].value == pytest.approx(0.5, abs=0.12)


def test_a_hand_and_the_tape_that_only_it_uses_are_not_told_apart() -> None:
    """Their sum is known; which of the two it is stays as unsure as it was."""
    base = weights(bridge=0.2)
    hands = ["maud" if each == "high" else "tom" for each in base.instrument]
    found = trend_fit.fit(dataclasses.replace(base, assessor=hands), "weight")
    value = found.offset_of("weigh_tape", "maud", "high")
    assert value == pytest.approx(HIGH, abs=0.01)
    hand, tape = found.assessors.offsets["maud"], found.instruments.offsets["high"]
    assert hand.sd > 0.9 * found.assessors.sd * tape.sd / math.hypot(tape.sd, hand.sd)
    assert tape.sd > 0.5 * found.assessors.sd
    assert tape.value > hand.value


def test_a_hand_of_more_noise_is_known_by_it_and_one_of_few_readings_is_not() -> None:
    rng = np.random.default_rng(21)
    herd = simulated.herd(rng, horses=80, readings=(8, 14), model=trend.SCORE)
    by = rng.choice(["calm", "wild", "new"], herd.size, p=[0.6, 0.39, 0.01])
    noise = np.where(by == "calm", 0.2, 0.5)
    value = herd.level + rng.normal(0, 1, herd.size) * noise
    given = simulated.readings(herd, value, method="five", assessor=by.tolist())
    found = trend_fit.fit(given, "five")
    assert found.noise_of("five", "calm") == pytest.approx(0.2, rel=0.12)
    assert found.noise_of("five", "wild") == pytest.approx(0.5, rel=0.12)
    few = found.assessors.factors["new"]
    assert few.readings < 15
    assert found.assessors.factors["calm"].times < few.times < found.assessors.factors["wild"].times
    assert found.noise_of("five", "nobody known") == found.noise["five"].sd


def test_methods_have_each_their_noise_and_the_unused_their_default() -> None:
    given = weights(horses=150, bridge=0.3)
    found = trend_fit.fit(given, "weight").noise
    assert found["weigh_tape"].sd == pytest.approx(0.02, rel=0.12)
    assert found["weighbridge"].sd == pytest.approx(0.01, rel=0.2)
    assert found["weigh_tape"].readings + found["weighbridge"].readings == len(given.method)
    assert found["estimate"] == fitted.Noise(standing.WEIGHT_NOISE["estimate"], 0, 0)


def test_the_likelihood_gains_and_readings_and_horses_are_counted(found: fitted.Fit) -> None:
    given = scores()
    assert found.log_likelihood_after > found.log_likelihood_before + 50
    assert (found.readings, found.horses) == (len(given.series), 60)
    for hand, told in found.assessors.offsets.items():
        seen = [horse for horse, by in zip(given.horse, given.assessor, strict=True) if by == hand]  # type: ignore[arg-type]
        assert (told.readings, told.horses) == (len(seen), len(set(seen)))


@pytest.mark.parametrize("count", [0, 1, 59])
def test_too_few_readings_leave_the_defaults(count: int) -> None:
    given = scores()
    few: dict[str, Any] = {name: getattr(given, name)[:count] for name in GIVEN}
    held(trend_fit.fit(trend_case.Readings(**few), "five"), count)


def test_too_few_horses_with_a_rate_leave_the_defaults() -> None:
    rng = np.random.default_rng(3)
    herd = simulated.herd(rng, horses=4, readings=(20, 25), model=trend.SCORE)
    given = simulated.readings(herd, herd.level + 0.0, method="five", assessor="ann")
    held(trend_fit.fit(given, "five"), herd.size)


def held(found: fitted.Fit, count: int) -> None:
    assert found.reason == standing.NOT_ENOUGH
    assert found.readings == count
    assert found.model == trend.SCORE
    assert found.noise_of("five", "ann") == standing.SCORE_NOISE["five"]
    assert found.offset_of("five", "ann") == 0.0
    assert found.doubts_of("five", "ann") == (("hand:ann", 0.3),)
    assert found.assessors.offsets == {}
    assert found.log_likelihood_after == found.log_likelihood_before


def test_a_fit_goes_to_json_and_back(found: fitted.Fit) -> None:
    for each in (found, trend_fit.fit(weights(), "weight")):
        text = json.dumps(each.plain(), allow_nan=False)
        assert fitted.Fit.of(json.loads(text)) == each
    with pytest.raises(fitted.OtherVersion):
        fitted.Fit.of({**found.plain(), "version": 0})


def test_a_key_that_was_not_there_may_be_off_by_what_such_keys_are(found: fitted.Fit) -> None:
    ann = found.assessors.offsets["ann"]
    assert found.offset_of("five", "ann") == ann.value
    assert found.doubts_of("five", "ann") == (
        ("hand:ann", ann.own_sd),
        (f"hands:{ann.group}", ann.shared_sd),
    )
    assert math.hypot(ann.own_sd, ann.shared_sd) == pytest.approx(ann.sd)
    assert found.offset_of("five", "a new hand") == 0.0
    assert found.doubts_of("five", "a new hand") == (("hand:a new hand", found.assessors.sd),)
    assert (found.offset_of("five"), found.doubts_of("five")) == (0.0, ())
    with pytest.raises(checked.OutOfRange, match="method: five"):
        found.noise_of("nine")


def test_other_series_end_baselines_and_are_not_fitted() -> None:
    given = scores()
    cut = [each if n % 3 else "nine" for n, each in enumerate(given.series)]
    method = ["nine" if each == "nine" else "five" for each in cut]
    found = trend_fit.fit(dataclasses.replace(given, series=cut, method=method), "five")
    assert found.readings == cut.count("five")
    # Runs of two readings at most: no horse has enough for a rate.
    assert found.reason == standing.NOT_ENOUGH


def test_the_same_readings_in_another_order_give_the_same_fit(found: fitted.Fit) -> None:
    given = scores()
    order = np.random.default_rng(5).permutation(len(given.series))
    mixed: dict[str, Any] = {name: [getattr(given, name)[n] for n in order] for name in GIVEN}
    again = trend_fit.fit(trend_case.Readings(**mixed), "five")
    assert again.model.drift == pytest.approx(found.model.drift, rel=1e-3)
    assert again.assessors.offsets["ann"].value == pytest.approx(
        found.assessors.offsets["ann"].value, rel=1e-4
    )
    assert trend_fit.fit(given, "five") == found


def test_what_cannot_be_is_refused() -> None:
    given = scores()
    with pytest.raises(checked.OutOfRange, match="series"):
        trend_fit.fit(given, "six")
    for method in ("eye", ""):
        with pytest.raises(checked.OutOfRange, match="method: five"):
            trend_fit.fit(dataclasses.replace(given, method=[method] * len(given.method)), "five")
    with pytest.raises(checked.OutOfRange, match="one length"):
        trend_fit.fit(dataclasses.replace(given, assessor=["ann"]), "five")
    for field in ("value", "days"):
        broken = np.array(getattr(given, field))
        broken[7] = np.nan
        changed: dict[str, Any] = {field: broken}
        with pytest.raises(checked.OutOfRange, match=field):
            trend_fit.fit(dataclasses.replace(given, **changed), "five")


def test_every_series_of_the_standing_has_its_defaults() -> None:
    priors = trend_prior.PRIORS
    assert priors.keys() == {*standing.SCORE_NOISE, "weight", "crest", *standing.GIRTH_NOISE}
    assert priors["weight"].noise == standing.WEIGHT_NOISE
    assert {key: priors[key].noise[key] for key in standing.SCORE_NOISE} == standing.SCORE_NOISE


def test_a_fit_is_read_without_numpy() -> None:
    code = "import sys; from scoring.rules import fitted; print('numpy' in sys.modules)"
    ran = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert ran.stdout.strip() == "False"
