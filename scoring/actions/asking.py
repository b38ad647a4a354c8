"""What a form asks once more before it is recorded; a client of the API is not asked."""

from datetime import datetime

from scoring.actions import subjects
from scoring.models import Standing
from scoring.rules import measured, weight_last
from scoring.rules.weighing import Weight
from yards.models import Horse
from yards.rules import daytime, errors
from yards.rules.errors import FieldError

FAR = "weight_far_from_last"


def require_near(
    field: str, weight: Weight | None, at: datetime, *, held: Standing, horse: Horse
) -> None:
    """Raise Invalid where a weight of this time lies far from the last that counts."""
    last = held.last_weighing if weight is not None else None
    if weight is None or last is None:
        return
    subject = subjects.subject(horse)
    months = measured.animal(subject, at).months
    days = (at - last.corrected_at).days
    least = months[0] if months is not None else None
    if weight_last.is_far(weight.weight_kg, last.weight_kg, days, least):
        on = daytime.local_date(last.corrected_at, subject.zone)
        told = {"kg": str(weight.weight_kg), "last_kg": str(last.weight_kg), "on": on.isoformat()}
        raise errors.Invalid(FieldError(field, FAR, told))


def is_asked(refused: errors.Refused) -> bool:
    """Return whether a refusal is this question, which a tick answers."""
    return any(each.key == FAR for each in refused.errors)
