"""What somebody is told to whom nothing is open any more: what ended, when, and by whom.

Told to the person themselves only, by a session of theirs: what was wrong with a token stays
nobody's business.
"""

from datetime import datetime
from uuid import UUID
from zoneinfo import ZoneInfo

from django.utils.formats import date_format

from yards import isolation
from yards.access import zones
from yards.models import Grant, Organisation, User
from yards.rules import errors

_FORMAT = "j F Y, H:i"


def refusal(person: UUID, now: datetime, organisation: UUID | None) -> errors.NotSignedIn:
    """Return why a person's own request is refused; asked behind the door, for that person.

    Without a grant that has ended, or where one is still to begin, nothing more is said.
    """
    rows = Grant.objects.filter(person_id=person, person__is_active=True)
    if organisation is not None:
        rows = rows.filter(organisation_id=organisation)
    over = [(at, row) for row in rows if (at := _ended_at(row, now)) is not None]
    if not over or len(over) < len(rows):
        return errors.NotSignedIn()
    at, last = max(over, key=lambda each: (each[0], each[1].id))
    isolation.enter(last.organisation_id, person)
    zone = zones.first()
    who = last.revoked_by_id if last.revoked_at is not None else last.issued_by_id
    # Asked inside: the organisation may have erased them since.
    named = User.objects.filter(id=who) if who is not None else User.objects.none()
    by = named.values_list("name", flat=True).first()
    said = {
        "organisation": Organisation.objects.get(id=last.organisation_id).name,
        "at": f"{date_format(at.astimezone(ZoneInfo(zone)), _FORMAT)} ({zone})",
        "by": by or "Halfpoint",
    }
    key = "access_revoked" if last.revoked_at is not None else "access_expired"
    return errors.AccessEnded(key, said)


def _ended_at(grant: Grant, now: datetime) -> datetime | None:
    ends = [each for each in (grant.revoked_at, grant.until_at) if each is not None and each <= now]
    return min(ends, default=None)
