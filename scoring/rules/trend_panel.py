"""How readings of very many series lie in memory, so that numpy works on all of them at once.

They lie step by step: the first of every baseline, then the second of every baseline that has two,
and so on, the longest baselines first. So each step is one stretch of memory, series of any lengths
leave no holes, and no mask is needed: a table of horses by readings with a mask goes in as
``np.nonzero(mask)[0]`` and ``days[mask]``.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from scoring.rules import baseline, checked

Floats = NDArray[np.float64]
Ints = NDArray[np.intp]
Flags = NDArray[np.bool_]

# Days as floats since 1970 carry an error of a few billionths of a day.
_ROUNDING = 1e-8


@dataclass(frozen=True, slots=True, eq=False)
class Panel:
    """Where readings lie: ``order`` holds which of those given stands at each place.

    ``starts`` is the first place of each step, and behind them how many there are; ``gap`` the days
    since the reading before it in its baseline, 0 for the first.
    """

    order: Ints
    starts: Ints
    gap: Floats

    @property
    def firsts(self) -> int:
        """Return how many baselines there are: their first readings lie first."""
        return int(self.starts[1]) if len(self.starts) > 1 else 0

    def laid(self, given: ArrayLike) -> Floats:
        """Return numbers of each reading, in the order given, as they lie; one may do for all."""
        numbers = np.asarray(given, np.float64)
        if numbers.ndim == 0:
            return np.full(self.order.size, numbers)
        alike("readings", numbers, self.order)
        return numbers[self.order]

    def given(self, laid: Floats) -> Floats:
        """Return numbers that lie as here in the order in which the readings were given."""
        found = np.empty_like(laid)
        found[self.order] = laid
        return found

    def steps(self, low: int, high: int) -> list[slice]:
        """Return, step by step, where the baselines from ``low`` to before ``high`` lie."""
        found = []
        for start, stop in zip(self.starts[:-1].tolist(), self.starts[1:].tolist(), strict=True):
            if start + low >= stop:
                break
            found.append(slice(start + low, min(start + high, stop)))
        return found

    def blocks(self, size: int) -> Iterator[list[slice]]:
        """Yield the steps of so many baselines after so many."""
        for low in range(0, self.firsts, size):
            yield self.steps(low, min(low + size, self.firsts))


def baselines(
    horse: ArrayLike, days: ArrayLike, series: ArrayLike, begins: ArrayLike | None = None
) -> Ints:
    """Return the number of the baseline of each reading, counted by horse and time.

    A baseline ends where ``baseline.why`` ends it: at another series, after more than 120 days, and
    before a reading that ``begins`` anew by a reset. Readings of one time keep their order.
    Raises OutOfRange for times that are not finite, and for arrays of different lengths.
    """
    horses, times, names = np.asarray(horse), _times(days), np.asarray(series)
    told = np.zeros(times.shape, np.bool_) if begins is None else np.asarray(begins, np.bool_)
    alike("readings", times, horses, names, told)
    if times.size == 0:
        return np.zeros(0, np.intp)
    order = _in_time(horses, times)
    horses, times, names = horses[order], times[order], names[order]
    cut = told[order].copy()
    cut[0] = True
    cut[1:] |= (horses[1:] != horses[:-1]) | (names[1:] != names[:-1])
    cut[1:] |= np.diff(times) > baseline.LONGEST_GAP_DAYS + _ROUNDING
    number = np.empty(times.shape, np.intp)
    number[order] = np.cumsum(cut) - 1
    return number


def arrange(number: ArrayLike, days: ArrayLike) -> Panel:
    """Return how readings lie, given the number of the baseline of each and its time in days.

    Raises OutOfRange for times that are not finite, and for arrays of different lengths.
    """
    numbers, times = np.asarray(number), _times(days)
    alike("readings", times, numbers)
    count = times.size
    if count == 0:
        return Panel(np.zeros(0, np.intp), np.zeros(1, np.intp), np.zeros(0))
    order = _in_time(numbers, times)
    numbers, times = numbers[order], times[order]
    first = np.ones(count, np.bool_)
    first[1:] = numbers[1:] != numbers[:-1]
    begin = np.flatnonzero(first)
    lengths = np.diff(begin, append=count)
    rank = np.empty(begin.size, np.intp)
    rank[np.argsort(-lengths, kind="stable")] = np.arange(begin.size)
    step = np.arange(count) - np.repeat(begin, lengths)
    starts = np.concatenate(([0], np.cumsum(np.bincount(step)))).astype(np.intp, copy=False)
    place = starts[step] + np.repeat(rank, lengths)
    laid, gap = np.empty(count, np.intp), np.empty(count)
    laid[place] = np.arange(count)[order]
    gap[place] = np.where(first, 0.0, np.diff(times, prepend=times[0]))
    return Panel(laid, starts, gap)


def _in_time(groups: NDArray[Any], times: Floats) -> Ints | slice:
    """Return the order by group and time, readings of one time as given."""
    rises, level = groups[1:] > groups[:-1], groups[1:] == groups[:-1]
    if (rises | (level & (times[1:] >= times[:-1]))).all():
        return slice(None)
    return np.lexsort((times, groups)).astype(np.intp, copy=False)


def _times(days: ArrayLike) -> Floats:
    times = np.asarray(days, np.float64)
    if not np.isfinite(times).all():
        raise checked.OutOfRange("days", "finite")
    return times


def alike(field: str, *arrays: NDArray[Any]) -> None:
    """Hold arrays to one dimension and one length; raises OutOfRange for others."""
    if any(each.ndim != 1 or each.size != arrays[0].size for each in arrays):
        raise checked.OutOfRange(field, "arrays of one length")
