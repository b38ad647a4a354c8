"""How a level goes on from now if nothing changes: the dotted end of a line, six weeks at most."""

from collections.abc import Callable, Iterator
from datetime import datetime, timedelta
from typing import NamedTuple

from scoring.rules import outlook, trend

WEEKS = 6
STEP = timedelta(days=3)
_STEPS = WEEKS * 7 // STEP.days


class Ahead(NamedTuple):
    """The level expected at a time, with its 80% interval, in the measure's unit."""

    at: datetime
    level: float
    low: float
    high: float


def shown(
    state: trend.State | None,
    now: datetime,
    model: trend.Model,
    unit: Callable[[float], float] = float,
) -> Iterator[Ahead]:
    """Yield the level now and every three days after it; nothing of a state that tells nothing.

    ``unit`` turns a value of the filter into the measure's unit.
    """
    if state is None:
        return
    for step in range(_STEPS + 1):
        when = now + step * STEP
        level = outlook.level(outlook.at(state, when, model=model))
        yield Ahead(when, *(unit(each) for each in outlook.on_scale(level, state.series)))
