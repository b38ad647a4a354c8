"""What was done about an alert so far, as readers see it."""

from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from scoring.access import alerts as access
from scoring.models import AlertAct
from yards.queries.people import PersonName
from yards.rules.roles import Viewer

# More than these are not shown on one page; they are in the record.
MOST = 200


@dataclass(frozen=True, slots=True)
class Act:
    """One act: by whom (nobody: by itself), whom it is about, in what words."""

    id: UUID
    alert: UUID
    kind: str
    at: datetime
    by: PersonName | None
    about: PersonName | None
    text: str
    due_at: datetime | None
    number: int
    replayed: bool = False


def _act(row: AlertAct) -> Act:
    return Act(
        id=row.ref,
        alert=row.alert.ref,
        kind=row.kind,
        at=row.at,
        by=PersonName(row.by.id, row.by.name) if row.by is not None else None,
        about=PersonName(row.about.id, row.about.name) if row.about is not None else None,
        text=row.text,
        due_at=row.due_at,
        number=row.number,
    )


def get_act(viewer: Viewer, ref: UUID) -> Act:
    """Return one act of an alert in scope."""
    found = access.acts_in_scope(viewer).select_related("alert", "by", "about")
    return _act(found.get(ref=ref))


def list_acts(viewer: Viewer, alert: UUID, *, kind: str = "") -> tuple[Act, ...]:
    """Return what was done about one alert, oldest first, or raise NotFound or NotAllowed."""
    access.alert_for_read(viewer, alert)
    found = access.acts_in_scope(viewer).filter(alert__ref=alert)
    if kind:
        found = found.filter(kind=kind)
    newest = found.select_related("alert", "by", "about").order_by("-id")[:MOST]
    return tuple(_act(row) for row in reversed(newest))
