"""Weight formulas, and what one makes of measures."""

from api import wording
from api.present import forms
from scoring.queries.weight_formulas import ErrorCard, EstimateCard, FormulaCard


def formula(found: FormulaCard) -> dict[str, object]:
    """Return one formula; ``likely_error`` is for any height, those by height are closer."""
    least, most = found.months
    sample = found.sample_kg
    return {
        "id": found.id,
        "title": found.title,
        "source": found.source,
        "confidence": found.confidence,
        "population": found.population,
        "species": found.species,
        "kinds": list(found.kinds),
        "sexes": list(found.sexes),
        "age_months": {"least": least, "most": most},
        "sample_kg": None
        if sample is None
        else {"least": forms.tenths(sample[0]), "most": forms.tenths(sample[1])},
        "measures": [
            {"field": each.field, "title": each.title, "landmark": each.landmark}
            for each in found.measures
        ],
        "likely_error": _error(found.errors[-1]),
        "likely_error_by_height": [
            {
                **_error(each),
                "height_from_cm": forms.tenths(each.height_from),
                "height_below_cm": forms.tenths(each.height_below),
            }
            for each in found.errors[:-1]
        ],
        "note": found.note,
    }


def _error(found: ErrorCard) -> dict[str, object]:
    return {
        "percent": forms.tenths(found.percent),
        "kg": forms.tenths(found.kg),
        "means": found.means,
        "covers_percent": found.covers_percent,
    }


def estimate(found: EstimateCard) -> dict[str, object]:
    """Return what a formula makes of measures, always with its likely error and the caution."""
    return {
        "formula": found.formula.id,
        "title": found.formula.title,
        "weight_kg": forms.tenths(found.weight_kg),
        "likely_error_kg": forms.tenths(found.likely_error_kg),
        "likely_error_means": found.means,
        "likely_error_covers_percent": found.covers_percent,
        "source": found.formula.source,
        "confidence": found.formula.confidence,
        "caution": found.caution,
        "warnings": [
            {"field": each.field, "message": wording.say(each.key, each.params)}
            for each in found.warnings
        ],
    }
