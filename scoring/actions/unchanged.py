"""A correction must put something right: one that changes nothing is refused, and not entered."""

from scoring.actions import subjects
from scoring.models import Assessment, Weighing
from scoring.rules import scale
from scoring.rules import weighing as weighing_rule
from scoring.rules.reading import Reading
from yards.rules import errors, plain
from yards.rules.errors import FieldError

_SCORED = (
    *("corrected_at", "scale", "manner", "neck", "back", "hind", "whole", "fat_pocket"),
    *("by_eye", "crest", "findings", "danger_signs", "looked_for_danger", "appetite", "muscle"),
    *("coat", "rug_off", "held_by", "limits", "note"),
)
_WEIGHED = ("method", "weight_kg", "formula", "measures", "fed", "tape_side", "tape_position")


def require_change(old: Assessment | None, reading: Reading) -> None:
    """Raise Invalid for a correction that says just what the ``old`` assessment says, if any.

    A weight that is left out stands, so it is no change; neither is the reason for a correction.
    """
    if old is None:
        return
    weight = reading.weight
    is_weight_kept = weight is None or (
        old.weighing is not None and _is_weight(subjects.newest_of(old.weighing), weight)
    )
    if is_weight_kept and _is_same(_SCORED, old, reading):
        raise _refused("regions" if reading.scale == scale.FIVE else scale.WHOLE)


def require_change_of_weight(old: Weighing | None, weighing: weighing_rule.Weighing) -> None:
    """Raise Invalid for a correction that says just what the ``old`` weighing says, if any."""
    if old is None or old.corrected_at != weighing.corrected_at:
        return
    if _is_weight(old, weighing.weight):
        raise _refused("weight_kg")


def _is_weight(old: Weighing, weight: weighing_rule.Weight) -> bool:
    instrument = old.instrument.ref if old.instrument is not None else None
    return instrument == weight.instrument and _is_same(_WEIGHED, old, weight)


def _is_same(names: tuple[str, ...], old: object, new: object) -> bool:
    return all(plain.plain(getattr(old, name)) == plain.plain(getattr(new, name)) for name in names)


def _refused(field: str) -> errors.Invalid:
    return errors.Invalid(FieldError(field, "nothing_is_corrected"))
