"""Weigh tapes and weighbridges."""

from api.present import forms
from scoring.queries.instruments import InstrumentCard


def instrument(found: InstrumentCard) -> dict[str, object]:
    """Return one instrument; ``yard`` null serves the whole organisation."""
    return {
        "id": str(found.id),
        "kind": found.kind,
        "label": found.label,
        "yard": forms.ref(found.yard),
    }
