"""Horses, donkeys and mules, and what happened to them."""

from api.present import forms, people
from yards.queries.events import EventRow
from yards.queries.horses import HorseCard


def horse(found: HorseCard) -> dict[str, object]:
    """Return one animal."""
    return {
        "id": str(found.ref),
        "name": found.name,
        "yard": str(found.yard.ref),
        "species": found.species,
        "kind": forms.chosen(found.kind),
        "sex": forms.chosen(found.sex),
        "born": found.born,
        "born_basis": forms.chosen(found.born_basis),
        "height_cm": forms.tenths(found.height_cm),
        "use": found.use,
        "breeding": forms.chosen(found.breeding),
        "laminitis": found.laminitis,
        "endocrine": found.endocrine,
        "transponder": forms.chosen(found.transponder),
        "ueln": forms.chosen(found.ueln),
        "handling": found.handling,
        "status": found.status,
        "ended_at": forms.instant(found.ended_at),
        "is_unknown": found.is_unknown,
        "merged_into": forms.ref(found.merged_into),
        "created_at": forms.instant(found.created_at),
        "version": found.version,
    }


def event(found: EventRow) -> dict[str, object]:
    """Return one event. ``horse`` may be an animal that was merged into the one asked about."""
    return {
        "id": str(found.ref),
        "horse": str(found.horse),
        "kind": found.kind,
        "at": forms.instant(found.at),
        "note": found.note,
        "recorded_by": people.person(found.recorded_by),
        "recorded_at": forms.instant(found.recorded_at),
    }
