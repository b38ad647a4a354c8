"""Whether a weight lies so far from the last one that it has to be asked about.

Another horse, another tape, inches for centimetres or a slip of a key: any of them is likelier than
such a change. It is asked and never refused. The limits are our own: a fifth between weights of one
quarter of a year, a tenth more for each quarter between them, a half at most; an animal that may be
younger than two years may have doubled. ``static/scoring/round/rules/weight_last.js`` says the
same, and both are held to ``fixtures/last_weight_cases.json``.
"""

from decimal import Decimal

QUARTER_DAYS = 91
# In tenths of the last weight.
LEAST, MOST, DOUBLED = 2, 5, 10
GROWN_MONTHS = 24
# The field of a weight that goes with a score.
WITH_A_SCORE = "weighing.weight_kg"


def is_far(kg: Decimal, last_kg: Decimal, days: int, months: int | None = None) -> bool:
    """Return whether a weight is far from the last, so many days before it.

    ``months`` are the fewest that the animal can be old, None where that is not known.
    """
    tenths = min(MOST, LEAST + max(0, days) // QUARTER_DAYS)
    if kg > last_kg and months is not None and months < GROWN_MONTHS:
        tenths = DOUBLED
    return abs(kg - last_kg) * 10 > last_kg * tenths
