"""What a list of readings is narrowed to."""

from dataclasses import dataclass
from datetime import datetime
from typing import Any
from uuid import UUID

from django.db.models import Q, QuerySet


@dataclass(frozen=True, slots=True)
class Wanted:
    """What a list of readings is narrowed to; None is no bound."""

    horse: UUID | None = None
    yard: UUID | None = None
    from_at: datetime | None = None
    to_at: datetime | None = None
    assessor: UUID | None = None


def narrowed(found: QuerySet[Any], wanted: Wanted) -> QuerySet[Any]:
    """Return readings narrowed to what is wanted.

    A horse's readings are also those of the unknown animals that turned out to be it.
    """
    if wanted.horse is not None:
        found = found.filter(Q(horse__ref=wanted.horse) | Q(horse__merged_into__ref=wanted.horse))
    bounds = {
        "yard__ref": wanted.yard,
        "corrected_at__gte": wanted.from_at,
        "corrected_at__lt": wanted.to_at,
        "assessor__ref": wanted.assessor,
    }
    return found.filter(**{name: bound for name, bound in bounds.items() if bound is not None})
