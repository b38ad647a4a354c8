"""How far score and weight of horses went since a vet's visit: three queries for all of them.

The same filter, smoother and rule of change as the horse's own page, by the same fits and resets;
of readings, so many days before that what is older would move a level by less than can be shown.
"""

from collections.abc import Mapping, Sequence
from datetime import datetime

from scoring.models import Assessment, Standing, Weighing
from scoring.queries import board_lines, fits, series, targets
from scoring.rules import baseline, smoothing, visit

BEFORE = board_lines.YEAR + board_lines.BEFORE


def changes(
    standings: Sequence[Standing],
    owner: Mapping[int, int],
    orders: Mapping[int, targets.Orders],
    since: Mapping[int, datetime],
) -> dict[int, tuple[visit.Change, visit.Change]]:
    """Return the change of score and of weight by horse key, in three queries.

    ``since`` is from when, by horse key.
    """
    oldest = min(since.values(), default=None)
    if oldest is None:
        return {}
    models = fits.by_key(standings)
    scores, weights = _scores(owner, oldest), _weights(owner, oldest)
    found = {}
    for each in standings:
        key = each.horse_id
        fit = models.get(each.fit_id or 0, fits.DEFAULTS)
        foaled = series.foalings_among(orders.get(key, targets.NO_ORDERS).events)
        found[key] = (
            visit.of_score(_scored(scores.get(key, []), fit, foaled, since[key]), since[key]),
            visit.of_weight(_weighed(weights.get(key, []), fit, foaled, since[key]), since[key]),
        )
    return found


def _scores(owner: Mapping[int, int], oldest: datetime) -> dict[int, list[Assessment]]:
    rows = series.felt(owner).filter(corrected_at__gt=oldest - BEFORE)
    kept = ("horse_id", "corrected_at", "overall_sixths", "scale", "assessor_id")
    found: dict[int, list[Assessment]] = {}
    for row in rows.only(*kept).order_by("corrected_at", "received_at", "id"):
        found.setdefault(owner[row.horse_id], []).append(row)
    return found


def _weights(owner: Mapping[int, int], oldest: datetime) -> dict[int, list[Weighing]]:
    rows = series.weighed(owner).filter(corrected_at__gt=oldest - BEFORE)
    kept = ("horse_id", "corrected_at", "weight_kg", "method", "formula", "likely_error_kg")
    joined = rows.only(*kept, "assessor_id", "instrument_id")
    found: dict[int, list[Weighing]] = {}
    for row in joined.order_by("corrected_at", "received_at", "id"):
        found.setdefault(owner[row.horse_id], []).append(row)
    return found


def _scored(
    rows: Sequence[Assessment],
    fit: fits.InForce,
    foaled: Sequence[baseline.Reset],
    since: datetime,
) -> list[smoothing.Line]:
    if not rows or rows[-1].corrected_at < since:
        return []
    return smoothing.smooth(
        [series.score_reading(row, fit) for row in rows],
        model=fit.score_model(rows[-1].scale),
        resets=foaled,
        at=[since],
    )


def _weighed(
    rows: Sequence[Weighing],
    fit: fits.InForce,
    foaled: Sequence[baseline.Reset],
    since: datetime,
) -> list[smoothing.Line]:
    if not rows or rows[-1].corrected_at < since:
        return []
    used = (baseline.Use(row.corrected_at, series.instrument(row)) for row in rows)
    return smoothing.smooth(
        [series.weight_reading(row, fit) for row in rows],
        model=fit.weight_model,
        resets=(*foaled, *baseline.of_instruments(used, known=fit.bridged)),
        at=[since],
    )
