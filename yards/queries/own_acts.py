"""When somebody did something themselves: to be told of it, nobody needs to read the record."""

from datetime import datetime
from uuid import UUID

from yards import audit, isolation
from yards.models import Entry
from yards.rules.roles import Viewer


def last(viewer: Viewer, target: UUID, verb: str) -> datetime | None:
    """Return when the viewer last did this to a target; None if they never did."""
    isolation.required(viewer)
    found = Entry.objects.filter(verb=verb, target_ref=target, actor=audit.actor_of(viewer))
    return found.order_by("-id").values_list("at", flat=True).first()
