"""Weighings."""

from api import wording
from api.present import forms
from scoring.queries.weighings import WeighingAnswer


def weighing(found: WeighingAnswer) -> dict[str, object]:
    """Return one weighing; without a receipt inside an assessment, which has its own."""
    shown: dict[str, object] = {
        "id": str(found.id),
        "horse": str(found.horse),
        "yard": str(found.yard),
        "taken_at": forms.instant(found.taken_at),
        "sent_at": forms.instant(found.sent_at),
        "received_at": forms.instant(found.received_at),
        "corrected_taken_at": forms.instant(found.corrected_taken_at),
        "method": found.method,
        "instrument": forms.ref(found.instrument),
        "weight_kg": forms.tenths(found.weight_kg),
        "formula": forms.chosen(found.formula),
        "measures": dict(found.measures),
        "fed": forms.chosen(found.fed),
        "tape_side": forms.chosen(found.tape_side),
        "tape_position": forms.chosen(found.tape_position),
        "likely_error_kg": forms.tenths(found.likely_error_kg),
        "likely_error_covers_percent": found.likely_error_covers_percent,
        "assessor": {"id": str(found.assessor.id), "name": found.assessor.name},
        "recorded_by": {"person": str(found.recorded_by)},
        "supersedes": forms.ref(found.supersedes),
        "superseded_by": forms.ref(found.superseded_by),
        "reason": found.reason,
        "warnings": [
            {"field": each.field, "message": wording.say(each.key, each.params)}
            for each in found.warnings
        ],
    }
    if found.receipt is not None:
        shown["receipt"] = {"entry": str(found.receipt.entry), "leaf": found.receipt.leaf}
    return shown
