"""Who is away, as readers see it: everybody's for a coordinator, one's own for others."""

from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from django.db.models import Q, QuerySet

from scoring.models import Absence
from yards import isolation
from yards.access import doors
from yards.queries import paging
from yards.queries.people import PersonName
from yards.rules import errors
from yards.rules.roles import Verb, Viewer, may


@dataclass(frozen=True, slots=True)
class AbsenceCard:
    """One absence."""

    id: UUID
    person: PersonName
    from_at: datetime
    until: datetime
    reason: str
    set_by: PersonName
    ended_at: datetime | None
    replayed: bool = False

    def is_over(self, now: datetime) -> bool:
        """Return whether it no longer holds anything back."""
        return self.ended_at is not None or self.until <= now


def absences_in_scope(viewer: Viewer) -> QuerySet[Absence]:
    """Return the absences that the viewer may know of."""
    isolation.required(viewer)
    found = Absence.objects.filter(organisation_id=viewer.organisation)
    if may(viewer, Verb.CHANGE_PEOPLE):
        return found
    return found.filter(Q(person_id=viewer.person) if viewer.person is not None else Q(pk__in=()))


def refs_of(viewer: Viewer, person: UUID) -> "QuerySet[Absence, UUID]":
    """Return the refs of one person's absences."""
    found = absences_in_scope(viewer).filter(person_id=person)
    return found.values_list("ref", flat=True)


def absence_for_end(viewer: Viewer, ref: UUID) -> Absence:
    """Return one absence locked for its end, or raise NotFound or NotAllowed."""
    if not absences_in_scope(viewer).filter(ref=ref).exists():
        raise errors.NotFound
    doors.require(viewer, Verb.ANSWER_ALERTS)
    return Absence.objects.select_for_update(no_key=True).get(ref=ref)


def get_absence(viewer: Viewer, ref: UUID) -> AbsenceCard:
    """Return one absence in scope, or raise NotFound."""
    found = absences_in_scope(viewer).select_related("person", "set_by").filter(ref=ref).first()
    if found is None:
        raise errors.NotFound
    return _card(found)


def _card(row: Absence) -> AbsenceCard:
    return AbsenceCard(
        id=row.ref,
        person=PersonName(row.person.id, row.person.name),
        from_at=row.from_at,
        until=row.until_at,
        reason=row.reason,
        set_by=PersonName(row.set_by.id, row.set_by.name),
        ended_at=row.ended_at,
    )


def list_absences(
    viewer: Viewer,
    *,
    now: datetime,
    standing: bool = False,
    cursor: str | None = None,
    size: int = paging.SIZE,
) -> paging.Page[AbsenceCard]:
    """Return absences, newest first; ``standing``: those that are not over."""
    doors.require(viewer, Verb.ANSWER_ALERTS)
    found = absences_in_scope(viewer).select_related("person", "set_by")
    if standing:
        found = found.filter(ended_at__isnull=True, until_at__gt=now)
    return paging.page_of(
        viewer,
        found,
        lambda rows: [_card(row) for row in rows],
        name="absences",
        cursor=cursor,
        size=size,
    )
