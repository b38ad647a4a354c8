"""The weigh tapes and weighbridges that readings name."""

from dataclasses import dataclass
from uuid import UUID

from django.db.models import QuerySet

from scoring.models import Instrument
from yards import isolation
from yards.queries import paging
from yards.rules import errors
from yards.rules.roles import Viewer


@dataclass(frozen=True, slots=True)
class InstrumentCard:
    """One instrument; ``yard`` None serves the whole organisation."""

    id: UUID
    kind: str
    label: str
    yard: UUID | None
    replayed: bool = False


def _card(row: Instrument) -> InstrumentCard:
    return InstrumentCard(row.ref, row.kind, row.label, row.yard.ref if row.yard else None)


def instruments_in_scope(viewer: Viewer) -> QuerySet[Instrument]:
    """Return the instruments of the organisation: whoever weighs must be able to name one."""
    isolation.required(viewer)
    return Instrument.objects.select_related("yard")


def get_instrument(viewer: Viewer, ref: UUID) -> InstrumentCard:
    """Return one instrument, or raise NotFound."""
    found = instruments_in_scope(viewer).filter(ref=ref).first()
    if found is None:
        raise errors.NotFound
    return _card(found)


def list_instruments(
    viewer: Viewer, *, cursor: str | None = None, size: int = paging.SIZE
) -> paging.Page[InstrumentCard]:
    """Return instruments, newest first."""
    return paging.page_of(
        viewer,
        instruments_in_scope(viewer),
        lambda rows: [_card(row) for row in rows],
        name="instruments",
        cursor=cursor,
        size=size,
    )


def choose_instruments(viewer: Viewer) -> list[InstrumentCard]:
    """Return every instrument by kind and label, for a form."""
    found = instruments_in_scope(viewer).order_by("kind", "label", "id")
    return [_card(row) for row in found]
