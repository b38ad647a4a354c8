"""What an erased person leaves in scoring: nothing waits for them, and their hand has the alias."""

from datetime import datetime
from uuid import UUID

from django.db.models.functions import Coalesce

from scoring.actions import notices
from scoring.models import Absence, Assessor, BoardView, Notice
from yards.rules.roles import Viewer


def forget(viewer: Viewer, person: UUID, alias: str, now: datetime) -> None:
    """Call off what was to be sent to them, end their absences and views, rename their hand."""
    notices.waiting(viewer).filter(person_id=person).update(state=notices.CALLED_OFF, due_at=None)
    # A mail server's answer may repeat the address.
    Notice.objects.filter(organisation_id=viewer.organisation, person_id=person).update(
        last_error=""
    )
    away = Absence.objects.filter(organisation_id=viewer.organisation, person_id=person)
    away.filter(ended_at__isnull=True, until_at__gt=now).update(
        ended_at=now, ended_by_id=viewer.person
    )
    away.update(reason="")
    BoardView.objects.filter(organisation_id=viewer.organisation, person_id=person).update(
        name="", asked={}, removed_at=Coalesce("removed_at", now)
    )
    Assessor.objects.filter(organisation_id=viewer.organisation, person_id=person).update(
        name=alias
    )
