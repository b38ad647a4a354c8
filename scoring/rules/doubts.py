"""How far hands and instruments may be off before any reading tells: one standard deviation.

Of hands it is assumed: a third of a point on five, more on nine. No firm figure was found; owners
and trained scorers differ by more (kappa .31 and ICC .50 on nine, Golding et al. 2023, Irish
Veterinary Journal 76:9). Of weights it is from Ellis and Hollands 1998, Veterinary Record 143:335,
600 horses, read as told by others, estimates in per cent of the weighbridge, mean (SD): formula
98.6 (10.6), tape A 112.0 (9.3), tape B 98.1 (8.1), by eye 88.3 (20.1). The mean is the instrument's
own: in logarithms 0.01 by formula, 0.12 by eye, and 0.08 the root mean square of the two tapes. The
SD is between animals of one instrument: how far it misses this animal's shape, at every reading of
it. Without what one reading varies by, that is 0.11 by formula, 0.08 by tape, 0.20 by eye.

A weighbridge is taken to weigh. Of girths all is assumed. Weights in natural logarithms of
kilograms, girths in centimetres, scores in points.
"""

import math
from collections.abc import Mapping
from typing import NamedTuple, TypeVar

from scoring.rules import checked

Entry = TypeVar("Entry")
# What is shared by the readings that one key made: the key, and the standard deviation of it.
Doubts = tuple[tuple[str, float], ...]


class Method(NamedTuple):
    """Of a way of weighing: what is the instrument's at every animal, and what is the animal's."""

    instrument: float
    animal: float


HAND: Mapping[str, float] = {
    "five": 0.3,
    "nine": 0.5,
    "donkey": 0.3,
    "crest": 0.3,
    "weight": 0.01,
    "girth_cm": 1.0,
    "belly_girth_cm": 1.5,
}
GIRTH_TAPE = 2.0
WEIGHT: Mapping[str, Method] = {
    "weighbridge": Method(0.0, 0.0),
    "weigh_tape": Method(0.08, 0.08),
    "formula": Method(0.01, 0.106),
    "estimate": Method(0.12, 0.20),
}
# The state of a row from before this was kept: one hand or tape that nobody named did it all.
UNNAMED = "unnamed"
_UNNAMED_WEIGHT = 0.11


def of_hand(series: str, assessor: str) -> Doubts:
    """Return the doubt of a hand of which nothing was found; raises OutOfRange for the series."""
    return ((hand(assessor), known("series", HAND, series)),) if assessor else ()


def of_weight(method: str, assessor: str, instrument: str, error: float | None = None) -> Doubts:
    """Return the doubts of a weight of which nothing was found; ``error`` as ``on_animal``."""
    own = known("method", WEIGHT, method).instrument
    if not own:
        return ()
    sd = math.hypot(own, on_animal(method, error))
    return *of_hand("weight", assessor), (tool(instrument), sd)


def on_animal(method: str, error: float | None = None) -> float:
    """Return how far a way of weighing may miss one animal's shape, which no fit can tell.

    ``error`` is what a formula's source says of such animals, as a share of the weight, 0 to 1.
    A series that is no weight has none.
    """
    if error is not None:
        return checked.within("error", error, 0.0, 1.0)
    return WEIGHT[method].animal if method in WEIGHT else 0.0


def of_girth(measure: str, assessor: str, tape: str) -> Doubts:
    """Return the doubts of a girth: of the hand, and of the tape."""
    return *of_hand(measure, assessor), (tool(tape), GIRTH_TAPE)


def unnamed(series: str) -> float:
    """Return the doubt of readings that nobody knows the makers of any more; 0 for no measure."""
    return _UNNAMED_WEIGHT if series == "weight" else HAND.get(series, 0.0)


def hand(assessor: str) -> str:
    """Return the key of a hand, as states keep it."""
    return f"hand:{assessor}"


def tool(instrument: str) -> str:
    """Return the key of an instrument, as states keep it."""
    return f"tool:{instrument}"


def known(field: str, table: Mapping[str, Entry], key: str) -> Entry:
    """Return an entry of a table; raises OutOfRange, with all that it holds, for another key."""
    if key not in table:
        raise checked.OutOfRange(field, ", ".join(sorted(table)))
    return table[key]
