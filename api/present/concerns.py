"""Concerns."""

from api.present import alerts, forms
from scoring.queries.concerns import ConcernAnswer


def concern(found: ConcernAnswer) -> dict[str, object]:
    """Return one concern, with the alerts that it opened or renewed."""
    return {
        "id": str(found.id),
        "horse": str(found.horse),
        "yard": str(found.yard),
        "seen_at": forms.instant(found.seen_at),
        "sent_at": forms.instant(found.sent_at),
        "received_at": forms.instant(found.received_at),
        "corrected_seen_at": forms.instant(found.corrected_seen_at),
        "danger_signs": list(found.danger_signs),
        "note": found.note,
        "assessor": {"id": str(found.assessor.id), "name": found.assessor.name},
        "recorded_by": {"person": str(found.recorded_by)},
        "alerts": [alerts.seen(each) for each in found.alerts],
        "receipt": {"entry": str(found.receipt.entry), "leaf": found.receipt.leaf},
    }
