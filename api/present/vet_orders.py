"""Vets' orders."""

from api.present import forms
from api.present.people import person
from scoring.queries.vet_orders import VetOrderCard


def vet_order(found: VetOrderCard) -> dict[str, object]:
    """Return one order."""
    return {
        "id": str(found.id),
        "horse": str(found.horse),
        "band": None
        if found.low is None
        else {"low": forms.points(found.low), "high": forms.points(found.high)},
        "score_days": found.score_days,
        "weight_days": found.weight_days,
        "reason": found.reason,
        "given_by": str(found.given_by),
        "given_at": forms.instant(found.given_at),
        "until": forms.instant(found.until),
        "ended": None
        if found.ended is None
        else {
            "by": person(found.ended.by),
            "at": forms.instant(found.ended.at),
            "reason": found.ended.reason,
        },
    }
