"""One measure of an animal over time."""

from collections.abc import Mapping

from api import wording
from api.present import forms
from scoring.queries.trend import Baseline, Chance, Point, TrendCard
from scoring.rules import outlook


def trend(found: TrendCard) -> dict[str, object]:
    """Return a trend; intervals are 80%, values in the measure's own unit."""
    by_month = found.measure == "score"
    return {
        "measure": found.measure,
        "scale": forms.chosen(found.scale),
        "enough": not found.reason,
        "reason": _said(found.reason),
        "points": [_point(each) for each in found.points],
        "smoothed": [
            {
                "at": forms.instant(each.at),
                "level": forms.figure(each.level),
                "low": forms.figure(each.low),
                "high": forms.figure(each.high),
                "baseline": each.baseline,
            }
            for each in found.smoothed
        ],
        "baselines": [_baseline(each) for each in found.baselines],
        "rate_per_month": forms.rate(found.rate, found.unit) if by_month else None,
        "rate_per_week": None if by_month else forms.rate(found.rate, found.unit),
        "percent_per_week": forms.rate(found.percent, "percent"),
        "probability_above": _chance(found.above),
        "probability_below": _chance(found.below),
        "band": [
            {
                "at": each.on.isoformat(),
                "low": forms.points(each.low),
                "aim": forms.points(each.aim),
                "high": forms.points(each.high),
            }
            for each in found.band
        ],
        "forecast": _forecast(found.forecast),
    }


def _chance(found: Chance | None) -> dict[str, object] | None:
    if found is None:
        return None
    return {"limit": forms.points(found.limit), "probability": forms.figure(found.probability)}


def _said(key: str, params: Mapping[str, str | int] | None = None) -> str | None:
    return wording.say(key, params) if key else None


def _point(each: Point) -> dict[str, object]:
    return {
        "id": str(each.id),
        "at": forms.instant(each.at),
        "value": f"{each.value:.2f}",
        "used": each.used,
        "by": each.by,
        "method": each.method,
    }


def _baseline(each: Baseline) -> dict[str, object]:
    return {
        "number": each.number,
        "from": forms.instant(each.from_at),
        "to": forms.instant(each.to_at),
        "why": _said(each.reason),
        "lacking": _said(each.lacking),
    }


def _forecast(found: outlook.Forecast | None) -> dict[str, object] | None:
    if found is None:
        return None
    return {
        "event": found.event,
        "edge": found.edge,
        "earliest": forms.instant(found.earliest),
        "expected": forms.instant(found.expected),
        "latest": forms.instant(found.latest),
        "reason": _said(found.reason, {"days": found.horizon_days}),
        "horizon_days": found.horizon_days,
    }
