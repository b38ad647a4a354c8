"""Where a horse stands, and what falls due."""

from api import wording
from api.present import forms
from scoring.queries.due import DueRow
from scoring.queries.standing import StandingCard


def standing(found: StandingCard) -> dict[str, object]:
    """Return one horse's standing. Levels and rates are estimates, with their 80% intervals."""
    overall, band = found.overall, found.band
    return {
        "horse": str(found.horse),
        "overall": None
        if overall is None
        else {
            "level": forms.figure(overall.level),
            "low": forms.figure(overall.low),
            "high": forms.figure(overall.high),
            "at": forms.instant(overall.at),
        },
        "place": forms.chosen(found.place),
        "rate_per_month": forms.rate(found.rate_per_month, "points"),
        "reason": wording.say(found.reason) if found.reason else None,
        "weight_kg": forms.tenths(found.weight_kg),
        "weight_at": forms.instant(found.weight_at),
        "last_assessment": forms.ref(found.last_assessment),
        "last_assessed_at": forms.instant(found.last_assessed_at),
        "due": {
            "score_at": forms.instant(found.due.score_at),
            "weight_at": forms.instant(found.due.weight_at),
            "check_at": forms.instant(found.due.check_at),
            "state": found.due.state,
            "why": wording.say(found.due.why),
        },
        "open_alerts": found.open_alerts,
        "band": {
            "low": forms.points(band.low),
            "aim": forms.points(band.aim),
            "high": forms.points(band.high),
        },
    }


def due(found: DueRow) -> dict[str, object]:
    """Return one thing due of one horse."""
    return {
        "horse": str(found.horse),
        "yard": str(found.yard),
        "what": found.what,
        "due_at": forms.instant(found.due_at),
        "state": found.state,
        "days": found.days,
    }
