"""How much each hand and each instrument reads too high, from animals that several have read.

A mixed model: a reading is its animal's level, plus what its hand and its instrument add, plus
noise; what they add is drawn from a normal law around 0 (Henderson 1975, Biometrics 31:423, best
linear unbiased prediction). The trend takes the place of the fixed effects: each baseline's level
starts diffuse, so the filter whitens readings and columns alike, and what remains is a small system
of equations (de Jong 1991, Annals of Statistics 19:1073, the augmented filter). Both from memory;
the numbers are held against dense matrices and statsmodels.

Only differences are seen. What all hands share that were ever compared with each other no reading
shows: it stays at 0, the mean of the group, unless a weighbridge or the like anchors it. A key that
shares no baseline with any other stays at 0 by itself, as unsure as before.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from scoring.rules import trend, trend_batch
from scoring.rules.trend_panel import Flags, Floats, Ints, Panel

# Baselines worked on together; each holds the square of its number of keys.
BLOCK = 1024
# Entries of the system below this share of what they would be without the trend are rounding.
_NOTHING = 1e-9


@dataclass(frozen=True, slots=True, eq=False)
class Design:
    """Which keys act on which readings, told by slots of each baseline.

    ``slots`` has an array for each kind of key: the slot that a reading's key has in its baseline,
    as readings lie, -1 for none. ``table`` has a row for each baseline: the key in each slot, and
    ``keys``, which is no key, in slots that are left over.
    """

    panel: Panel
    keys: int
    slots: tuple[Ints, ...]
    table: Ints

    def most(self, low: int, high: int) -> int:
        """Return how many slots the baselines from ``low`` to before ``high`` need."""
        return int((self.table[low:high] < self.keys).sum(axis=1).max(initial=0))


class System(NamedTuple):
    """What whitened readings say of the keys: sums of squares and products.

    ``alone`` is what a key's own entry would be were every level known; ``rest`` the log-likelihood
    of the readings with nothing added by any key.
    """

    inner: Floats
    right: Floats
    alone: Floats
    rest: float


class Effects(NamedTuple):
    """What each key adds, with the covariance of its error, and the readings' log-likelihood."""

    value: Floats
    covariance: Floats
    log_likelihood: float


def design(panel: Panel, codes: Sequence[Ints], keys: int) -> Design:
    """Return the slots of keys, given for each kind which of ``keys`` acts on each reading.

    Codes are from 0, -1 for none, in the order in which readings were given; a key is of one kind.
    """
    column = _columns(panel)
    laid = [np.asarray(each, np.intp)[panel.order] for each in codes]
    pairs = [np.where(each >= 0, column * keys + each, -1) for each in laid]
    known = np.unique(np.concatenate([*pairs, np.full(1, -1)]))[1:]
    owner = known // max(keys, 1)
    slot = np.arange(known.size) - np.searchsorted(owner, owner)
    table = np.full((panel.firsts, int(slot.max(initial=-1)) + 1), keys, np.intp)
    table[owner, slot] = known % max(keys, 1)
    padded = np.append(slot, -1).astype(np.intp, copy=False)
    place = [np.where(each >= 0, np.searchsorted(known, each), known.size) for each in pairs]
    return Design(panel, keys, tuple(padded[each] for each in place), table)


def system(made: Design, value: ArrayLike, noise: ArrayLike, model: trend.Model) -> System:
    """Return the equations of the keys; values and noises as ``trend_batch.filtered`` has them."""
    panel, side = made.panel, made.keys + 2
    known = trend_batch.filtered(panel, value, noise, model=model)
    variance = panel.laid(noise) ** 2
    told = _Told(
        panel.laid(value),
        panel.gap,
        known.level_var / variance,
        known.cross / variance,
        known.spread,
    )
    sums = np.zeros(side * side)
    for low, steps in _blocks(panel):
        width = steps[0].stop - steps[0].start
        most = made.most(low, low + width)
        rows = np.full((most + 1, width), made.keys + 1, np.intp)
        rows[:most] = made.table[low : low + width, :most].T
        place = (rows[:, None] * side + rows[None]).ravel()
        inner = _whitened(made, steps, told, most)
        sums += np.bincount(place, weights=inner.ravel(), minlength=side * side)
    square = sums.reshape(side, side)
    last, keys = made.keys + 1, made.keys
    later = known.spread[panel.firsts :]
    rest = -0.5 * (
        later.size * math.log(2 * math.pi) + float(np.log(later).sum()) + float(square[last, last])
    )
    return System(square[:keys, :keys], square[last, :keys], _alone(made, variance), rest)


class _Told(NamedTuple):
    """What the filter used, as readings lie; the gains are those of level and rate."""

    value: Floats
    gap: Floats
    gain: Floats
    rate_gain: Floats
    spread: Floats


def _blocks(panel: Panel) -> Iterator[tuple[int, list[slice]]]:
    for number, steps in enumerate(panel.blocks(BLOCK)):
        yield number * BLOCK, steps


def _whitened(made: Design, steps: list[slice], told: _Told, most: int) -> Floats:
    """Return the products of what surprises the filter: each slot's column, and the values."""
    width = steps[0].stop - steps[0].start
    level, rate = np.zeros((most + 1, width)), np.zeros((most + 1, width))
    inner = np.zeros((most + 1, most + 1, width))
    for number, now in enumerate(steps):
        size = now.stop - now.start
        level_now, rate_now = level[:, :size], rate[:, :size]
        level_now += told.gap[now] * rate_now
        off = -level_now
        off[most] += told.value[now]
        for slots in made.slots:
            slot = slots[now]
            acts = np.flatnonzero(slot >= 0)
            off[slot[acts], acts] += 1.0
        level_now += told.gain[now] * off
        rate_now += told.rate_gain[now] * off
        if number:
            # The first of a baseline sets its level, and tells nothing.
            inner[:, :, :size] += off[:, None] * (off / told.spread[now])[None]
    return inner


def _alone(made: Design, variance: Floats) -> Floats:
    column = _columns(made.panel)
    found = np.zeros(made.keys)
    for slots in made.slots:
        acts = slots >= 0
        keys = made.table[column[acts], slots[acts]]
        found += np.bincount(keys, weights=1 / variance[acts], minlength=made.keys)
    return found


def solved(found: System, sd: Floats) -> Effects:
    """Return what each key adds, where that is drawn with its standard deviation ``sd``, 0 or more.

    The log-likelihood is the readings' own, over all that the keys may add.
    """
    scaled = sd[:, None] * found.inner * sd[None] + np.eye(sd.size)
    lower = np.linalg.cholesky(scaled)
    covariance = sd[:, None] * np.linalg.inv(scaled) * sd[None]
    value = covariance @ found.right
    gained = float(value @ found.right) - 2 * float(np.log(np.diag(lower)).sum())
    return Effects(value, covariance, found.rest + 0.5 * gained)


def groups(found: System) -> Ints:
    """Return the number of the group that each key was compared with, -1 where with none."""
    scale = np.sqrt(found.alone[:, None] * found.alone[None])
    linked = np.abs(found.inner) > _NOTHING * scale
    number = np.full(found.alone.size, -1, np.intp)
    count = 0
    for key in np.flatnonzero(np.diag(linked)).tolist():
        if number[key] >= 0:
            continue
        reached, left = {key}, [key]
        while left:
            more = set(np.flatnonzero(linked[left.pop()]).tolist()) - reached
            reached |= more
            left.extend(more)
        number[sorted(reached)] = count
        count += 1
    return number


def anchored(found: System, members: Flags) -> bool:
    """Return whether what all members of a group share is seen: by readings without any of them."""
    together = np.abs(found.inner[:, members].sum(axis=1)).max(initial=0.0)
    return bool(together > _NOTHING * found.alone[members].sum())


def beside_mean(covariance: Floats, members: Flags) -> Floats:
    """Return the variance of each member's error beside the mean of all members."""
    part = covariance[np.ix_(members, members)]
    beside = part - part.mean(axis=0) - part.mean(axis=1)[:, None] + part.mean()
    return np.maximum(np.diag(beside), 0.0)


def added(made: Design, value: Floats) -> Floats:
    """Return what the keys add to each reading, as readings lie, where each key adds ``value``."""
    column = _columns(made.panel)
    found = np.zeros(column.size)
    for slots in made.slots:
        acts = slots >= 0
        found[acts] += value[made.table[column[acts], slots[acts]]]
    return found


def _columns(panel: Panel) -> Ints:
    """Return the place of each reading's baseline."""
    return np.arange(panel.order.size) - np.repeat(panel.starts[:-1], np.diff(panel.starts))
