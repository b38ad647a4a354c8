"""One animal's months again, moment by moment, as the rules were told of them: for a replay.

Nothing is asked of the database here. What is known of the animal itself (kind, use, laminitis and
the like) is as it is now; where it stood, what was read and what a vet ordered is as it was.
"""

from collections import deque
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta
from typing import Any

from scoring.queries import evidence, fits, horse_facts, targets
from scoring.rules import baseline, due, risk, risk_thin, seen, trend
from yards.models import Horse, Yard
from yards.rules import breeding, daytime, seasons

SIX = time(6)


@dataclass(frozen=True, slots=True)
class Weighed:
    """One weighing: as the rules see it, as the trend takes it, and what it was read by."""

    seen: seen.Weight
    taken: trend.Reading
    instrument: str | None


@dataclass(frozen=True, slots=True)
class Past:
    """What is on record of one animal. ``stays`` are (from, yard), oldest first, as are the rest.

    ``days`` are mornings on which rules may turn without a reading.
    """

    horse: Horse
    yard: Yard
    stays: Sequence[tuple[datetime, Yard]]
    arrived: Sequence[datetime]
    returned: Sequence[datetime]
    scores: Sequence[seen.Score]
    weights: Sequence[Weighed]
    through: targets.Through | None
    fit: fits.InForce


@dataclass(frozen=True, slots=True)
class Wants:
    """What the replayed rules ask of the facts, and from when to when moments are told.

    ``turns`` are the days on which spring begins or is over, by yard; ``after_days`` after how many
    days a rule may turn.
    """

    rules: frozenset[str]
    first: datetime
    last: datetime
    trend: bool
    after_days: frozenset[int] = frozenset()
    turns: Mapping[int, frozenset[date]] = field(default_factory=dict)


@dataclass(slots=True)
class _Now:
    """What is newest at a moment."""

    speaking: seen.Score | None = None
    felt: seen.Score | None = None
    crest: seen.Score | None = None
    ate: seen.Score | None = None
    recent: deque[seen.Score] = field(default_factory=lambda: deque(maxlen=evidence.RECENT))
    weights: deque[seen.Weight] = field(default_factory=deque)
    score_state: trend.State | None = None
    weight_state: trend.State | None = None


def moments(past: Past, wants: Wants) -> Iterator[risk.Facts]:
    """Yield the facts at each reading and each turning day, in order of time."""
    steps: list[tuple[datetime, int, Any]] = [(each.at, 0, each) for each in past.scores]
    steps += [(each.seen.at, 1, each) for each in past.weights]
    steps += [(at, 2, None) for at in _days(past, wants)]
    ended = past.horse.ended_at
    known, resets = _Now(), _resets(past)
    until = wants.last if ended is None else min(ended, wants.last)
    before = wants.first
    for at, kind, what in sorted(steps, key=lambda each: each[:2]):
        if at > until:
            break
        for late in _late_days(past, known, wants, before, at):
            yield _facts(past, known, wants, late, None)
        if kind == 0:
            _take_score(known, what, past, wants, resets[0])
        elif kind == 1:
            _take_weight(known, what, past, wants, resets[1])
        yield _facts(past, known, wants, at, what if kind == 0 else None)
        before = at
    for late in _late_days(past, known, wants, before, until):
        yield _facts(past, known, wants, late, None)


def _resets(past: Past) -> tuple[Sequence[baseline.Reset], Sequence[baseline.Reset]]:
    rows = past.through.rows if past.through is not None else ()
    foaled = baseline.of_foalings(row.at for row in rows if row.kind == breeding.FOALED)
    uses = (baseline.Use(each.seen.at, each.instrument) for each in past.weights)
    return foaled, (*foaled, *baseline.of_instruments(uses, known=past.fit.bridged))


def _take_score(
    known: _Now, score: seen.Score, past: Past, wants: Wants, resets: Sequence[baseline.Reset]
) -> None:
    if score.states_appetite:
        known.ate = score
    if score.says_something:
        known.speaking = score
    if not score.is_palpated:
        return
    if score.says_something:
        known.felt = score
    if score.crest is not None:
        known.crest = score
    if score.sixths is None:
        return
    known.recent.appendleft(score)
    if wants.trend:
        taken = past.fit.score(score.at, score.sixths, score.scale, score.by or 0)
        model = past.fit.score_model(score.scale)
        known.score_state = trend.take(known.score_state, taken, model=model, resets=resets)


def _take_weight(
    known: _Now, weighed: Weighed, past: Past, wants: Wants, resets: Sequence[baseline.Reset]
) -> None:
    known.weights.append(weighed.seen)
    while known.weights[0].at <= weighed.seen.at - evidence.WEIGHTS_FOR:
        known.weights.popleft()
    if wants.trend:
        known.weight_state = trend.take(
            known.weight_state, weighed.taken, model=past.fit.weight_model, resets=resets
        )


def _facts(
    past: Past, known: _Now, wants: Wants, at: datetime, came: seen.Score | None
) -> risk.Facts:
    horse, yard = past.horse, _yard_at(past, at)
    orders = past.through.at(at) if past.through is not None else targets.NO_ORDERS
    band, on = targets.band_facts(horse, yard, orders), daytime.local_date(at, yard.time_zone)
    palpated = known.recent[0] if known.recent else None
    arrived, moved = _came(past, at)
    dues = _dues(past, known, orders, yard) if wants.rules & DATED else (None, None)
    fed = known.ate is not None and known.ate.at > at - evidence.FED_FOR
    return risk.Facts(
        now=at,
        species=horse.species,
        kind=horse.kind,
        use=horse.use,
        stage=band.stage(on),
        bred=band.bred(on),
        zone=yard.time_zone,
        hemisphere=yard.hemisphere,
        spring=seasons.spring_of(yard.spring_first, yard.spring_last),
        laminitis=horse.laminitis,
        endocrine=horse.endocrine,
        speaking=known.speaking,
        felt=known.felt,
        palpated=palpated,
        came=came,
        ate=known.ate if fed else None,
        recent=tuple(known.recent),
        crest=known.crest,
        weights=tuple(known.weights),
        edges=horse_facts.edges_of(band, on, palpated, at) if wants.rules & BANDED else None,
        score_trend=horse_facts.score_trend(known.score_state, at),
        weight_trend=horse_facts.weight_trend(known.weight_state, at),
        arrived_at=arrived,
        moved_at=moved,
        score_due_at=dues[0],
        weight_due_at=dues[1],
    )


BANDED = frozenset({"above_band", "below_band_twice"})
DATED = frozenset({"overdue"})
SEASONAL = frozenset({"fat_in_spring"})
ARRIVING = frozenset({"never_scored", "hyperlipaemia_watch"})


def _late_days(
    past: Past, known: _Now, wants: Wants, after: datetime, before: datetime
) -> list[datetime]:
    """Return the mornings between two steps on which something is late for the first time."""
    if not wants.rules & DATED:
        return []
    yard = _yard_at(past, after)
    orders = past.through.at(after) if past.through is not None else targets.NO_ORDERS
    days = {
        daytime.local_date(at, yard.time_zone) + timedelta(days=1)
        for at in _dues(past, known, orders, yard)
    }
    mornings = sorted(daytime.at_local(day, SIX, yard.time_zone) for day in days)
    return [at for at in mornings if after < at < before]


def _yard_at(past: Past, at: datetime) -> Yard:
    then = [yard for since, yard in past.stays if since <= at]
    return then[-1] if then else (past.stays[0][1] if past.stays else past.yard)


def _came(past: Past, at: datetime) -> tuple[datetime | None, datetime | None]:
    """Return when it came or came back to this house, and when to the yard it stood in."""
    stays = [since for since, _ in past.stays if since <= at]
    arrived = [each for each in past.arrived if each <= at]
    returned = [each for each in past.returned if each <= at]
    came, moved = [*stays[:1], *arrived], [*stays[-1:], *returned]
    return max(came, default=None), max(moved, default=None)


def _dues(past: Past, known: _Now, orders: targets.Orders, yard: Yard) -> tuple[datetime, datetime]:
    """Return when score and weight fell due, as a standing has it; daily looks are left out."""
    palpated = known.recent[0] if known.recent else None
    looks = [each for each in (known.speaking, known.felt, palpated) if each is not None]
    found = due.intervals(
        due.Facts(
            species=past.horse.species,
            laminitis=past.horse.laminitis,
            score=next(iter((*risk_thin.emaciated_of(looks), *looks)), None),
            crest=known.crest.crest if known.crest is not None else None,
            vet_score_days=orders.score_days,
            vet_weight_days=orders.weight_days,
        )
    )
    began, zone = past.horse.created_at, yard.time_zone
    weighed = known.weights[-1].at if known.weights else None
    return (
        due.due_at(palpated.at, found.score_days, zone) if palpated else began,
        due.due_at(weighed, found.weight_days, zone) if weighed else began,
    )


def _days(past: Past, wants: Wants) -> set[datetime]:
    """Return the mornings on which a replayed rule may turn by itself."""
    zone = past.yard.time_zone
    found: set[date] = set()
    if wants.rules & SEASONAL:
        found |= {day for _, yard in past.stays for day in wants.turns.get(yard.id, ())}
    if wants.rules & ARRIVING:
        came = [since for since, _ in past.stays] + [*past.arrived, *past.returned]
        for each in came:
            day = daytime.local_date(each, zone)
            found |= {day + timedelta(days=n + 1) for n in (0, *wants.after_days)}
    mornings = {daytime.at_local(day, SIX, zone) for day in found}
    return {at for at in mornings if wants.first <= at <= wants.last}


def turns(yard: Yard, first: datetime, last: datetime) -> frozenset[date]:
    """Return the days on which a yard's spring begins, and the days after it is over."""
    spring = seasons.spring_of(yard.spring_first, yard.spring_last)
    day, until = (daytime.local_date(each, yard.time_zone) for each in (first, last))
    was, found = seasons.in_spring(day, yard.hemisphere, spring), set()
    while day < until:
        day += timedelta(days=1)
        if seasons.in_spring(day, yard.hemisphere, spring) != was:
            was = not was
            found.add(day)
    return frozenset(found)
