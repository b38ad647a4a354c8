"""That what somebody has just saved has arrived, at the head of the page that follows."""

from datetime import datetime, timedelta
from uuid import UUID
from zoneinfo import ZoneInfo

from django.utils.formats import date_format
from django.utils.translation import gettext

from yards.access import doors
from yards.rules.roles import Viewer

_JUST_NOW = timedelta(minutes=10)


def said(viewer: Viewer, by: UUID, received_at: datetime, zone: str, *, now: datetime) -> str:
    """Return when it was saved to whoever saved it, for as long as it is news; then nothing."""
    if by != doors.person_of(viewer) or now - received_at > _JUST_NOW:
        return ""
    at = date_format(received_at.astimezone(ZoneInfo(zone)), "H:i")
    return gettext("Saved at {at}. It has arrived.").format(at=at)
