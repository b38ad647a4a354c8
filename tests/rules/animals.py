"""Animals for the tests of the risk rules: facts as the rules are told them, all invented."""

from collections.abc import Iterable
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from typing import Any

from scoring.rules import risk, seen

NOW = datetime(2026, 4, 12, 9, tzinfo=UTC)
# Winter in the north, when no yard is in spring.
WINTER = datetime(2026, 1, 12, 9, tzinfo=UTC)
DAY = timedelta(days=1)
WEEK = timedelta(days=7)


def five(*halves: int | None, days: float = 0, **given: Any) -> seen.Score:
    """Return a reading on 0-5 of so many days ago, in half points, head to tail."""
    at = NOW - days * DAY
    neck, back, hind = halves
    told = {"manner": "palpated", "by": 1, **given}
    return seen.Score(at, at, "five", neck=neck, back=back, hind=hind, **told)


def whole(halves: int, scale: str, days: float = 0, **given: Any) -> seen.Score:
    """Return a reading on a whole-animal scale."""
    at = NOW - days * DAY
    return seen.Score(at, at, scale, whole=halves, **{"manner": "palpated", "by": 1, **given})


def facts(*scores: seen.Score, **given: Any) -> risk.Facts:
    """Return the facts of readings given newest first."""
    felt = tuple(each for each in scores if each.is_palpated and each.sixths is not None)
    crested = [each for each in scores if each.is_palpated and each.crest is not None]
    told = {
        "now": NOW,
        "species": "horse",
        "zone": "Europe/London",
        "speaking": next((each for each in scores if each.says_something), None),
        "felt": next((each for each in scores if each.is_palpated and each.says_something), None),
        "ate": next((each for each in scores if each.states_appetite), None),
        "palpated": next(iter(felt), None),
        "recent": felt,
        "crest": next(iter(crested), None),
    }
    return risk.Facts(**{**told, **given})


def edges(low: str, high: str, scale: str = "five") -> seen.Edges:
    """Return the edges of a band."""
    return seen.Edges(scale, Decimal(low), Decimal(high))


def weights(*pairs: tuple[float, str], method: str = "weighbridge") -> tuple[seen.Weight, ...]:
    """Return weighings by (days ago, kilograms), oldest first."""
    return tuple(
        seen.Weight(NOW - days * DAY, NOW - days * DAY, Decimal(kg), method) for days, kg in pairs
    )


def trend(scale: str, rate: float, half: float, *, level: float = 3.0, **given: Any) -> seen.Trend:
    """Return a trend with a rate and half the width of its 80% interval."""
    found = seen.Trend(
        scale=scale,
        since=NOW - 100 * DAY,
        at=NOW,
        level=level,
        low=level - 0.2,
        high=level + 0.2,
        rate=rate,
        rate_low=rate - half,
        rate_high=rate + half,
    )
    return replace(found, **given)


def answered(
    at: datetime, *, severity: str = "urgent", basis: str = "", told: Iterable[str] = ()
) -> seen.Answer:
    """Return how a person resolved an alert of that severity, which told of those risks."""
    return seen.Answer(at, severity, basis, frozenset(told))


def found(rule: str, told: risk.Facts) -> risk.Finding | None:
    """Return what one rule of the registry finds, gravest rules aside."""
    return risk.RULES[rule](told)


def names(told: risk.Facts) -> set[str]:
    """Return the rules that find something, after the graver ones have spoken for the lesser."""
    return {each.rule for each in risk.find(told)}
