"""What a fit found, told by key and without arrays: with what it rests on, and how unsure it is."""

import itertools
from collections.abc import Iterator, Sequence
from typing import NamedTuple

import numpy as np

from scoring.rules import fitted, trend_offsets
from scoring.rules.trend_case import Case, Keys
from scoring.rules.trend_offsets import Effects, System
from scoring.rules.trend_panel import Flags, Floats, Ints
from scoring.rules.trend_prior import Guess, Prior


class Found(NamedTuple):
    """What there is to tell; ``before`` is the log-likelihood under the defaults."""

    guess: Guess
    system: System
    effects: Effects
    before: float


def unfitted(series: str, case: Case, prior: Prior, before: float) -> fitted.Fit:
    """Return the defaults, because there is not enough."""
    return fitted.Fit(
        series=series,
        reason=fitted.NOT_ENOUGH,
        model=prior.model,
        noise=_noise(case, prior, {}),
        true_methods=prior.true_methods,
        assessors=fitted.Kind(prior.assessor_sd, {}, {}),
        instruments=fitted.Kind(prior.instrument_sd, {}, {}),
        bridged=(),
        readings=case.value.size,
        horses=case.horses,
        log_likelihood_before=before,
        log_likelihood_after=before,
    )


def told(series: str, case: Case, prior: Prior, found: Found) -> fitted.Fit:
    """Return what was found."""
    guess, groups = found.guess, trend_offsets.groups(found.system)
    split = len(case.rows.assessors.names)
    offsets = _offsets(found, groups, split)
    sds = dict(zip(case.rows.methods.names, guess.noise.tolist(), strict=True))
    return fitted.Fit(
        series=series,
        reason="",
        model=guess.model,
        noise=_noise(case, prior, sds),
        true_methods=prior.true_methods,
        assessors=_kind(case, case.rows.assessors, guess.sd[0], guess.times[0], offsets[:split]),
        instruments=_kind(
            case, case.rows.instruments, guess.sd[1], guess.times[1], offsets[split:]
        ),
        bridged=_bridged(case, found, groups),
        readings=case.value.size,
        horses=case.horses,
        log_likelihood_before=found.before,
        log_likelihood_after=found.effects.log_likelihood,
    )


class _Told(NamedTuple):
    """What a fit says of one key's offset; see ``fitted.Offset``."""

    value: float
    sd: float
    apart_sd: float
    compared: bool
    shared_sd: float
    group: int


def _offsets(found: Found, groups: Ints, split: int) -> list[_Told]:
    numbers = (
        found.effects.value,
        _doubts(found),
        _beside(found, groups, split),
        groups >= 0,
        _common(found, groups, split),
        groups,
    )
    return [_Told(*each) for each in zip(*(each.tolist() for each in numbers), strict=True)]


def _doubts(found: Found) -> Floats:
    return np.sqrt(np.maximum(np.diag(found.effects.covariance), 0.0))


def _beside(found: Found, groups: Ints, split: int) -> Floats:
    """Return how unsure each offset is beside its group's mean, or beside what anchors it."""
    sd = _doubts(found)
    for members in _members(groups, split):
        if not trend_offsets.anchored(found.system, members):
            variance = trend_offsets.beside_mean(found.effects.covariance, members)
            sd[members] = np.sqrt(variance)
    return sd


def _common(found: Found, groups: Ints, split: int) -> Floats:
    """Return how unsure each offset is by what its error has in common with its group's others.

    The mean of the covariances between two of them, but never more than either has in all.
    """
    variance = np.zeros(groups.size)
    for members in _members(groups, split):
        part, many = found.effects.covariance[np.ix_(members, members)], int(members.sum())
        if many > 1:
            between = (part.sum() - np.trace(part)) / (many * (many - 1))
            variance[members] = min(max(between, 0.0), float(np.diag(part).min()))
    return np.sqrt(variance)


def _members(groups: Ints, split: int) -> Iterator[Flags]:
    """Yield which keys are of one group and one kind, hands or instruments."""
    hands = np.arange(groups.size) < split
    for group in range(groups.max(initial=-1) + 1):
        for kind in (hands, ~hands):
            members = kind & (groups == group)
            if members.any():
                yield members


def _noise(case: Case, prior: Prior, sds: dict[str, float]) -> dict[str, fitted.Noise]:
    rests = _rests(case, case.rows.methods)
    return {
        method: fitted.Noise(sds.get(method, sd), *rests.get(method, (0, 0)))
        for method, sd in prior.noise.items()
    }


def _rests(case: Case, keys: Keys) -> dict[str, tuple[int, int]]:
    """Return how many readings, of how many horses, each key rests on."""
    readings, horses = keys.counts(case.rows.horse)
    return dict(zip(keys.names, zip(readings.tolist(), horses.tolist(), strict=True), strict=True))


def _kind(
    case: Case,
    keys: Keys,
    sd: float,
    times: Floats,
    found: Sequence[_Told],
) -> fitted.Kind:
    rests = _rests(case, keys)
    return fitted.Kind(
        sd=sd,
        offsets={
            key: fitted.Offset(*each[:4], *rests[key], each.shared_sd, each.group)
            for key, each in zip(keys.names, found, strict=True)
        },
        factors={
            key: fitted.Factor(each, *rests[key])
            for key, each in zip(keys.names, times.tolist(), strict=True)
        },
    )


def _bridged(case: Case, found: Found, groups: Ints) -> tuple[tuple[str, str], ...]:
    """Return the pairs of instruments whose difference is at least as sure as one reading is.

    True instruments differ by nothing; another is as far from them as its offset is from 0.
    """
    keys, split = case.rows.instruments, len(case.rows.assessors.names)
    own = _own_variance(found.guess.noises(case), keys)
    cov, number = found.effects.covariance[split:, split:], groups[split:]
    pairs = list(itertools.combinations(case.true, 2))
    for one, two in itertools.combinations(range(len(keys.names)), 2):
        apart = cov[one, one] + cov[two, two] - 2 * cov[one, two]
        if number[one] == number[two] >= 0 and apart <= min(own[one], own[two]):
            pairs.append((keys.names[one], keys.names[two]))
    for one in np.flatnonzero((number >= 0) & (np.diag(cov) <= own)).tolist():
        pairs += [(keys.names[one], true) for true in case.true]
    return tuple(sorted((min(pair), max(pair)) for pair in pairs))


def _own_variance(noises: Floats, keys: Keys) -> Floats:
    """Return the variance of one reading of each key, in the mean."""
    has, many = keys.code >= 0, len(keys.names)
    readings = np.bincount(keys.code[has], minlength=many)
    return np.bincount(keys.code[has], noises[has] ** 2, many) / np.maximum(readings, 1)
