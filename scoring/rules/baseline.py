"""Where a trend begins anew, and why: readings on two sides of a break are never joined.

A break is: another series (scale), more than 120 days without a reading, and a reset that is told
from outside: foaling (a mare loses foal, fluids and afterbirth, about 10 to 13% of her weight, from
memory), a change of instrument without an overlap, and a diet. The first week of a diet is a
baseline of its own, too short for a rate, and the next begins seven days in: most of what goes in
that week is gut fill (Dugdale et al. 2010, Equine Veterinary Journal: 4.3 ± 1.1% in the first week,
0.7 ± 0.1% a week after; read in its abstract, 'mostly gut fill' is our reading).

Resets are of one measure: a diet and a change of tape break a weight, not a score. They silence no
rule that protects life: those compare raw values.
"""

import itertools
from collections.abc import Collection, Iterable
from datetime import datetime, timedelta
from typing import NamedTuple

from scoring.rules import checked

LONGEST_GAP_DAYS = 120.0
DIET_WEEK_DAYS = 7
# Two instruments used on one animal within this time have an overlap: common practice.
OVERLAP = timedelta(hours=24)

FOALED = "baseline_foaled"
INSTRUMENT = "baseline_instrument"
DIET_WEEK = "baseline_diet_week"
AFTER_DIET_WEEK = "baseline_after_diet_week"
SERIES = "baseline_series"
GAP = "baseline_gap"
REASONS = (FOALED, INSTRUMENT, DIET_WEEK, AFTER_DIET_WEEK, SERIES, GAP)

_GAP_SECONDS = LONGEST_GAP_DAYS * 86400.0


class Reset(NamedTuple):
    """Readings at ``at`` or later begin a new baseline, for a reason: one of ``REASONS``."""

    at: datetime
    reason: str


class Use(NamedTuple):
    """Which instrument read one animal when; None: by eye, which neither keeps nor breaks."""

    at: datetime
    instrument: str | None


def why(last: float, last_series: str, at: float, series: str, resets: Iterable[Reset] = ()) -> str:
    """Return why a reading at ``at`` begins anew after one at ``last``; empty: it does not.

    Times are seconds since 1970, resets in any order. Of several reasons the latest reset is told
    first, then the series, then the gap.
    """
    found, latest = "", last
    for reset in resets:
        instant = checked.instant(reset.at)
        if latest < instant <= at or (found and instant == latest):
            found, latest = reset.reason, instant
    if found:
        return found
    if series != last_series:
        return SERIES
    return GAP if at - last > _GAP_SECONDS else ""


def of_foalings(foaled: Iterable[datetime]) -> tuple[Reset, ...]:
    """Return the resets of a mare's foalings."""
    return tuple(Reset(at, FOALED) for at in sorted(foaled))


def of_diets(began: Iterable[datetime]) -> tuple[Reset, ...]:
    """Return the resets of diets by when each began: at once, and again seven days in.

    Where another diet begins within the first week of one, only the later week is waited for. Give
    the beginnings only: a plan that is signed again unchanged is no new diet.
    """
    starts, week = sorted(set(began)), timedelta(days=DIET_WEEK_DAYS)
    resets: list[Reset] = []
    for start, following in itertools.zip_longest(starts, starts[1:]):
        resets.append(Reset(start, DIET_WEEK))
        if following is None or following >= start + week:
            resets.append(Reset(start + week, AFTER_DIET_WEEK))
    return tuple(resets)


def of_instruments(
    uses: Iterable[Use], *, known: Collection[frozenset[str]] = ()
) -> tuple[Reset, ...]:
    """Return the resets of changes of instrument that nothing bridges.

    A change is bridged when both instruments read this animal within 24 hours of each other, at the
    change or before it, or when ``known`` holds the pair: the offset between them is estimated.
    """
    taken = sorted((use.at, use.instrument) for use in uses if use.instrument is not None)
    resets: list[Reset] = []
    for place in range(1, len(taken)):
        (_, before), (at, after) = taken[place - 1], taken[place]
        pair = frozenset({before, after})
        if before != after and pair not in known and not _overlap(taken, pair, at + OVERLAP):
            resets.append(Reset(at, INSTRUMENT))
    return tuple(resets)


def _overlap(taken: list[tuple[datetime, str]], pair: frozenset[str], until: datetime) -> bool:
    """Return whether both of a pair read the animal within 24 hours of each other by a time."""
    last: dict[str, datetime] = {}
    for at, instrument in taken:
        if at > until:
            break
        if instrument not in pair:
            continue
        other = last.get(next(iter(pair - {instrument})))
        if other is not None and at - other <= OVERLAP:
            return True
        last[instrument] = at
    return False
