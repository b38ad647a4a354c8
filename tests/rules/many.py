"""Invented readings of many horses, and how the batch form takes them."""

from datetime import UTC, datetime, timedelta
from typing import Any, NamedTuple

import numpy as np

from scoring.rules import standing, trend_batch, trend_panel

EPOCH = datetime(1970, 1, 1, tzinfo=UTC)


class Many(NamedTuple):
    """Readings of many horses, in no order of horses but of time for each."""

    horse: Any
    days: Any
    value: Any
    noise: Any
    series: Any

    def of(self, horse: int) -> list[standing.Reading]:
        """Return one horse's, as the scalar form takes them."""
        return [
            standing.Reading(
                EPOCH + timedelta(days=float(self.days[n])),
                float(self.value[n]),
                float(self.noise[n]),
                str(self.series[n]),
            )
            for n in np.flatnonzero(self.horse == horse)
        ]


def many(horses: int = 30, most: int = 40) -> Many:
    """Return invented scores: ragged, with ties, gaps on both sides of 120 days, and two scales."""
    rng = np.random.default_rng(7)
    gaps = [0.0, 0.01, 0.25, 1.0, 6.0, 14.0, 28.0, 61.0, 119.0, 120.0, 120.5, 300.0]
    rows = []
    for horse in range(horses):
        day = 19_000.37 + rng.integers(0, 90)
        for _ in range(rng.integers(1, most, endpoint=True)):
            series = "nine" if rng.random() < 0.07 else "five"
            rows.append((horse, day, rng.normal(3, 0.7), rng.choice([0.05, 0.3, 1.5]), series))
            day += rng.choice(gaps)
    # Mixed up, but no two readings of one time of a horse change places.
    rows = [rows[n] for n in rng.permutation(len(rows))]
    rows.sort(key=lambda row: row[1])
    return Many(*(np.array(each) for each in zip(*rows, strict=True)))


def panel_of(found: Many) -> trend_panel.Panel:
    number = trend_panel.baselines(found.horse, found.days, found.series)
    return trend_panel.arrange(number, found.days)


def rows(panel: trend_panel.Panel, known: trend_batch.Known) -> Any:
    """Return level, rate, level variance, cross and rate variance, a row for each reading given."""
    columns = (known.level, known.rate, known.level_var, known.cross, known.rate_var)
    return np.array([panel.given(each) for each in columns]).T
