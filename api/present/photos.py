"""Photos."""

from api.present import forms
from scoring.queries.photos import PhotoCard


def photo(found: PhotoCard) -> dict[str, object]:
    """Return one photo; ``sha256`` is of what was sent, width and height of what is kept."""
    return {
        "id": str(found.id),
        "of": found.of,
        "of_id": str(found.of_id),
        "horse": str(found.horse),
        "side": found.side,
        "taken_at": forms.instant(found.taken_at),
        "sent_at": forms.instant(found.sent_at),
        "received_at": forms.instant(found.received_at),
        "corrected_taken_at": forms.instant(found.corrected_taken_at),
        "sha256": found.sha256,
        "width": found.width,
        "height": found.height,
        "recorded_by": {"person": str(found.recorded_by)},
        "receipt": {"entry": str(found.receipt.entry), "leaf": found.receipt.leaf},
    }
