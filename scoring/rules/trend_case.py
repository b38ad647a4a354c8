"""The readings of one series as a fit works on them: numbers for keys, and laid as a panel."""

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from scoring.rules import outlook, trend_offsets, trend_panel
from scoring.rules.trend_panel import Flags, Floats, Ints, Panel


@dataclass(frozen=True, slots=True, eq=False)
class Readings:
    """One organisation's readings of one measure, one number or key in each for each reading.

    ``horse`` numbers the animals, ``days`` is the time in days from any fixed instant, ``value`` in
    the unit of the series, ``series`` its name: another one begins a baseline anew, and only one is
    fitted at a time. ``assessor`` and ``instrument`` are keys, empty where there is none: such a
    reading is taken to be off by nothing on that account, so give a method that has no instrument,
    but may be off, a key of its own. ``begins`` says where a reset begins a baseline anew. Readings
    of one time are in the order given.
    """

    horse: ArrayLike
    days: ArrayLike
    value: ArrayLike
    series: Sequence[str]
    method: Sequence[str]
    assessor: Sequence[str]
    instrument: Sequence[str]
    begins: ArrayLike | None = None


class Keys(NamedTuple):
    """Keys in their order, and the place among them of each reading's, -1 for none."""

    names: tuple[str, ...]
    code: Ints

    def taken(self, which: Flags | Ints) -> "Keys":
        """Return the same keys, of some readings or of all in another order."""
        return Keys(self.names, self.code[which])

    def counts(self, horse: Ints) -> tuple[Ints, Ints]:
        """Return how many readings, and of how many horses, each key has."""
        has, many = self.code >= 0, len(self.names)
        readings = np.bincount(self.code[has], minlength=many)
        pairs = np.unique(np.stack([self.code[has], horse[has]]), axis=1)
        return readings, np.bincount(pairs[0], minlength=many)


class Rows(NamedTuple):
    """Readings, one row each; ``number`` is that of the baseline."""

    number: Ints
    horse: Ints
    days: Floats
    value: Floats
    methods: Keys
    assessors: Keys
    instruments: Keys

    def taken(self, which: Flags | Ints) -> "Rows":
        """Return some rows, or all in another order, with the same keys."""
        return Rows(
            self.number[which],
            self.horse[which],
            self.days[which],
            self.value[which],
            self.methods.taken(which),
            self.assessors.taken(which),
            self.instruments.taken(which),
        )


@dataclass(frozen=True, slots=True, eq=False)
class Case:
    """One series' readings as they lie in its panel, and which keys act on them.

    The keys of the design are the assessors, then the instruments. ``true`` are the instruments of
    true methods: in the rows their readings have none.
    """

    rows: Rows
    panel: Panel
    design: trend_offsets.Design
    true: tuple[str, ...]

    @property
    def value(self) -> Floats:
        """Return the readings' values."""
        return self.rows.value

    @property
    def horses(self) -> int:
        """Return how many horses there are."""
        return int(np.unique(self.rows.horse).size)

    def thinned(self, most: int) -> "Case":
        """Return the case of evenly chosen horses, with about ``most`` readings in all."""
        every = -(-self.value.size // most)
        if every <= 1:
            return self
        _, rank = np.unique(self.rows.horse, return_inverse=True)
        return laid(self.rows.taken(rank % every == 0), self.true)

    def followed(self) -> int:
        """Return how many horses have readings enough for a rate in some baseline."""
        rows = self.rows.taken(np.lexsort((self.rows.days, self.rows.number)))
        number, days = rows.number, rows.days
        _, first, count = np.unique(number, return_index=True, return_counts=True)
        span = days[first + count - 1] - days[first]
        enough = (count >= outlook.FEWEST) & (span >= outlook.SHORTEST_DAYS)
        return int(np.unique(rows.horse[first[enough]]).size)


def of(readings: Readings, series: str, true_methods: Collection[str]) -> Case:
    """Return the case of one series of some readings; a method that is true knows no other key.

    Raises OutOfRange for arrays of different lengths and times that are not finite.
    """
    keys = (readings.series, readings.method, readings.assessor, readings.instrument)
    names, methods, assessors, instruments = (coded(each) for each in keys)
    horse, value = np.asarray(readings.horse), np.asarray(readings.value, np.float64)
    days = np.asarray(readings.days, np.float64)
    codes = (each.code for each in (names, methods, assessors, instruments))
    trend_panel.alike("readings", days, horse, value, *codes)
    number = trend_panel.baselines(horse, days, names.code, readings.begins)
    keep = names.code == (names.names.index(series) if series in names.names else -2)
    true = [place for place, name in enumerate(methods.names) if name in true_methods]
    free = ~np.isin(methods.code, true)
    rows = Rows(
        number,
        np.unique(horse, return_inverse=True)[1].astype(np.intp, copy=False),
        days,
        value,
        methods,
        Keys(assessors.names, np.where(free, assessors.code, -1)),
        Keys(instruments.names, np.where(free, instruments.code, -1)),
    ).taken(keep)
    used = (_used(each) for each in rows[4:])
    return laid(Rows(*rows[:4], *used), _used(instruments.taken(keep & ~free)).names)


def coded(keys: Iterable[str]) -> Keys:
    """Return keys as numbers in their order; the empty key is none."""
    found: dict[str, int] = {}
    raw = np.fromiter((found.setdefault(key, len(found)) for key in keys), np.intp)
    names = tuple(sorted(key for key in found if key))
    place = {key: number for number, key in enumerate(names)}
    table = np.array([place.get(key, -1) for key in found], np.intp)
    return Keys(names, table[raw] if raw.size else raw)


def _used(keys: Keys) -> Keys:
    """Return keys without those that no reading has."""
    used = np.unique(keys.code[keys.code >= 0])
    table = np.full(len(keys.names) + 1, -1, np.intp)
    table[used] = np.arange(used.size)
    return Keys(tuple(keys.names[each] for each in used.tolist()), table[keys.code])


def laid(rows: Rows, true: tuple[str, ...]) -> Case:
    """Return the case of some rows."""
    panel = trend_panel.arrange(rows.number, rows.days)
    rows = rows.taken(panel.order)
    panel = Panel(np.arange(panel.order.size), panel.starts, panel.gap)
    hands, tools = rows.assessors, rows.instruments
    beyond = np.where(tools.code >= 0, tools.code + len(hands.names), -1)
    keys = len(hands.names) + len(tools.names)
    return Case(rows, panel, trend_offsets.design(panel, (hands.code, beyond), keys), true)
