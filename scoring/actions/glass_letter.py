"""Tells every coordinator at once, by mail too, that somebody looks under break-glass."""

from collections.abc import Mapping
from datetime import datetime
from typing import Any
from uuid import UUID

from django.conf import settings
from django.utils.translation import gettext as _

from scoring.actions import notices
from scoring.queries import recipients
from yards.models import GlassBreak
from yards.queries import people
from yards.rules.roles import Viewer


def announce(viewer: Viewer, approved: GlassBreak, now: datetime) -> None:
    """Write one message to each coordinator, whoever approved it among them; it waits for none."""
    told = recipients.reaches(viewer, roles=recipients.TOLD[recipients.GLASS], now=now)
    notices.write(
        viewer,
        [
            notices.Message(
                kind=recipients.GLASS,
                person=each.person,
                due_at=now,
                about=(str(approved.ref),),
                params={
                    "person": str(approved.person_id),
                    "approved_by": str(approved.approved_by_id),
                    "urgent": True,
                },
            )
            for each in told
        ],
        now=now,
    )


def written(reader: Viewer, params: Mapping[str, Any]) -> tuple[str, str, dict[str, Any]] | None:
    """Return subject, template and words; None for whoever coordinates no more.

    Why is told on the page only: mail goes through many hands.
    """
    if reader.role not in recipients.TOLD[recipients.GLASS]:
        return None
    names = people.names_of([UUID(params["person"]), UUID(params["approved_by"])])
    context = {
        "who": names.get(UUID(params["person"]), ""),
        "by": names.get(UUID(params["approved_by"]), ""),
        "link": f"{settings.SITE_URL}/glass/",
    }
    return _("{who} looks at everything, for an hour").format(**context), "glass", context
