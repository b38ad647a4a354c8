"""That what somebody has just saved is kept, at the head of the page that follows."""

from datetime import datetime, timedelta
from uuid import UUID

from django.utils.translation import gettext

from yards.access import doors
from yards.rules.roles import Viewer

_JUST_NOW = timedelta(minutes=10)


def said(viewer: Viewer, by: UUID, received_at: datetime, *, now: datetime) -> str:
    """Return that it was saved to whoever saved it, for as long as it is news; then nothing.

    When it was taken stands beside it: a second time, a few minutes on, would only be asked about.
    """
    if by != doors.person_of(viewer) or now - received_at > _JUST_NOW:
        return ""
    return gettext("Saved in Halfpoint.")
