"""Where a line is drawn and where it is not: cut at each baseline, and over no gap past 90 days."""

import itertools
from collections.abc import Iterable, Sequence
from datetime import datetime, timedelta
from typing import NamedTuple

LONGEST_GAP = timedelta(days=90)


class Gap(NamedTuple):
    """A time between two readings that is too long to draw a line over.

    ``until`` is None for one that still lasts.
    """

    since: datetime
    until: datetime | None


class Node(NamedTuple):
    """A point of a line, with its interval; nodes of two baselines are never joined."""

    at: datetime
    level: float
    low: float
    high: float
    baseline: int = 0


def gaps(taken: Iterable[datetime], now: datetime) -> list[Gap]:
    """Return the gaps between readings, in order; the last reaches to now and beyond."""
    times = sorted(taken)
    found = [
        Gap(each, later) for each, later in itertools.pairwise(times) if later - each > LONGEST_GAP
    ]
    if times and now - times[-1] > LONGEST_GAP:
        found.append(Gap(times[-1], None))
    return found


def runs(nodes: Sequence[Node], without: Iterable[Gap]) -> list[list[Node]]:
    """Return the pieces that are drawn of nodes in order, each of one baseline and of no gap.

    What the filter says inside a gap is not drawn at all: there was nobody to say otherwise.
    """
    left = [each for each in nodes if not any(_inside(each.at, gap) for gap in without)]
    found: list[list[Node]] = []
    for each in left:
        joined = found and _joined(found[-1][-1], each, without)
        if not joined:
            found.append([])
        found[-1].append(each)
    return found


def _inside(at: datetime, gap: Gap) -> bool:
    return gap.since < at and (gap.until is None or at < gap.until)


def _joined(before: Node, after: Node, without: Iterable[Gap]) -> bool:
    if before.baseline != after.baseline:
        return False
    return not any(before.at <= gap.since < after.at for gap in without)


def nearest(nodes: Iterable[Node], at: datetime, within: timedelta) -> Node | None:
    """Return the node that is nearest to a time and no further off than ``within``."""
    found = min(nodes, key=lambda each: abs(each.at - at), default=None)
    return found if found is not None and abs(found.at - at) <= within else None


def up_to(nodes: Iterable[Node], end: datetime) -> tuple[Node, ...]:
    """Return a line as far as a time: what lies beyond is cut off where the line passes it."""
    kept: list[Node] = []
    for each in nodes:
        if each.at <= end:
            kept.append(each)
            continue
        if kept and kept[-1].at < end:
            kept.append(_between(kept[-1], each, end))
        break
    return tuple(kept)


def _between(before: Node, after: Node, at: datetime) -> Node:
    share = (at - before.at) / (after.at - before.at)
    level, low, high = (
        one + share * (other - one) for one, other in zip(before[1:4], after[1:4], strict=True)
    )
    return Node(at, level, low, high, before.baseline)
