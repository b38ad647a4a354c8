"""Two ways to do the same, timed by turns in one run, so that a busy machine is busy for both."""

import statistics
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass

Arm = Callable[[], object]


@dataclass(frozen=True)
class Comparison:
    """What ``ours`` cost beside ``floor``: seconds a time, one of each a round."""

    name: str
    against: str
    ours: tuple[float, ...]
    floor: tuple[float, ...]

    @property
    def ratios(self) -> tuple[float, ...]:
        """Ours over the floor, round by round."""
        return tuple(a / b for a, b in zip(self.ours, self.floor, strict=True))


def compare(
    name: str, ours: Arm, against: str, floor: Arm, *, rounds: int, before: Arm = lambda: None
) -> Comparison:
    """Time both, after one untimed turn of each; who goes first changes every round.

    ``before`` each round is not timed.
    """
    times: dict[Arm, list[float]] = {ours: [], floor: []}
    for arm in times:
        arm()
    for number in range(rounds):
        before()
        for arm in (ours, floor) if number % 2 else (floor, ours):
            times[arm].append(_timed(arm))
    return Comparison(name, against, tuple(times[ours]), tuple(times[floor]))


def _timed(arm: Arm) -> float:
    began = time.perf_counter()
    arm()
    return time.perf_counter() - began


def quartiles(values: Sequence[float]) -> tuple[float, float, float]:
    """Return first quartile, median and third; a single value is all three."""
    if len(values) < 2:
        return (values[0],) * 3
    low, middle, high = statistics.quantiles(values, n=4, method="inclusive")
    return low, middle, high


def percentile(values: Sequence[float], share: float) -> float:
    """Return the value below which that share of all lies, by nearest rank."""
    ranked = sorted(values)
    return ranked[min(len(ranked) - 1, int(share * len(ranked)))]


def table(found: Sequence[Comparison]) -> str:
    """Return the comparisons as a Markdown table: medians, quartiles in brackets."""
    lines = [
        "| what | against | ours, ms | floor, ms | ratio | rounds |",
        "|---|---|---|---|---|---|",
    ]
    for each in found:
        cells = (
            *(each.name, each.against, _ms(each.ours), _ms(each.floor)),
            *(_spread(each.ratios, _places(each.ratios)), str(len(each.ours))),
        )
        lines.append(f"| {' | '.join(cells)} |")
    return "\n".join(lines)


def _places(ratios: Sequence[float]) -> int:
    """Return how many places tell a ratio: one, and more where ours is far below the floor."""
    return 1 if statistics.median(ratios) >= 1 else 4


def _ms(values: Sequence[float]) -> str:
    return _spread([1000 * value for value in values], 2)


def _spread(values: Sequence[float], places: int) -> str:
    low, middle, high = quartiles(values)
    return f"{middle:.{places}f} [{low:.{places}f}..{high:.{places}f}]"
