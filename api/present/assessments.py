"""Assessments: what was felt, what it comes to, and what it set off."""

from collections.abc import Mapping
from typing import Any

from api.present import alerts, forms, weighings
from scoring.queries import wording
from scoring.queries.assessments import AssessmentAnswer
from scoring.rules import approximate, scale


def assessment(found: AssessmentAnswer) -> dict[str, object]:
    """Return one assessment as the contract answers it."""
    return {**_reading(found), **_meaning(found), **_origin(found)}


def _reading(found: AssessmentAnswer) -> dict[str, object]:
    weighed = found.weighing
    return {
        "id": str(found.id),
        "horse": str(found.horse),
        "yard": str(found.yard),
        "taken_at": forms.instant(found.taken_at),
        "sent_at": forms.instant(found.sent_at),
        "scale": found.scale,
        "scale_version": found.scale_version,
        "manner": found.manner,
        "regions": forms.regions(found.regions),
        "not_safe": list(found.not_safe),
        "fat_pocket": found.fat_pocket,
        "by_eye": forms.points(found.by_eye),
        "crest": forms.points(found.crest),
        "findings": dict(found.findings),
        "suggestion": _suggestion(found.suggestion),
        "danger_signs": list(found.danger_signs),
        "looked_for_danger": found.looked_for_danger,
        "appetite": forms.chosen(found.appetite),
        "muscle": forms.chosen(found.muscle),
        "coat": forms.chosen(found.coat),
        "rug_off": found.rug_off,
        "held_by": found.held_by,
        "limits": found.limits,
        "weighing": weighings.weighing(weighed) if weighed is not None else None,
        "note": found.note,
    }


def _meaning(found: AssessmentAnswer) -> dict[str, object]:
    band = found.band
    return {
        "regions_used": forms.regions(found.regions_used),
        "overall": forms.mean(found.overall),
        "overall_nearest_half": forms.points(found.overall_nearest_half),
        "overall_pelvis_led": forms.points(found.overall_pelvis_led),
        "approximate": _approximate(found.approximate),
        "fattest_regions": list(found.fattest_regions),
        "band": None
        if band is None
        else {
            "low": forms.points(band.low),
            "aim": forms.points(band.aim),
            "high": forms.points(band.high),
        },
        "place": forms.chosen(found.place),
        "alerts": [alerts.seen(each) for each in found.alerts],
    }


def _origin(found: AssessmentAnswer) -> dict[str, object]:
    return {
        "assessor": {"id": str(found.assessor.id), "name": found.assessor.name},
        "recorded_by": {"person": str(found.recorded_by)},
        "received_at": forms.instant(found.received_at),
        "corrected_taken_at": forms.instant(found.corrected_taken_at),
        "supersedes": forms.ref(found.supersedes),
        "superseded_by": forms.ref(found.superseded_by),
        "reason": found.reason,
        "receipt": {"entry": str(found.receipt.entry), "leaf": found.receipt.leaf},
    }


def _suggestion(kept: Mapping[str, Any]) -> dict[str, object] | None:
    """Return what was suggested beside the score, its reasons in words; null for nothing."""
    if not kept:
        return None
    return {"version": kept["version"], "places": [_place(each) for each in kept["places"]]}


def _place(kept: Mapping[str, Any]) -> dict[str, object]:
    return {
        "place": kept["place"],
        "low": kept["low"],
        "high": kept["high"],
        "findings": [dict(each) for each in kept["findings"]],
        "reasons": [
            {"key": key, "params": dict(params), "text": wording.say(key, params)}
            for key, params in kept["reasons"]
        ],
    }


def _approximate(found: approximate.Across | None) -> dict[str, object] | None:
    """Return roughly where the score lies on the other scale, labelled as what it is."""
    if found is None:
        return None
    return {
        "label": approximate.LABEL,
        "scale": found.scale,
        "low": scale.shown(found.low),
        "high": scale.shown(found.high),
    }
