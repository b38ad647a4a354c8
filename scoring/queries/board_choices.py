"""What a board can be narrowed to: its yards and who scored last, and the views kept of it."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from uuid import UUID

from scoring.models import Assessment, Assessor, BoardView, Standing
from scoring.rules import board_wanted
from yards.access import doors
from yards.models import Yard
from yards.queries.people import PersonName
from yards.rules import errors
from yards.rules.roles import Verb, Viewer


@dataclass(frozen=True, slots=True)
class BoardYard:
    """A yard to choose, with how many horses stand there. ``id`` None is all of them."""

    id: UUID | None
    name: str
    count: int
    current: bool


@dataclass(frozen=True, slots=True)
class KeptView:
    """A view of the board that the viewer has kept; ``wanted`` None is what none of ours is now."""

    id: UUID
    name: str
    wanted: board_wanted.Wanted | None


def yards_of(
    yards: Sequence[Yard], counts: Mapping[tuple[int, str], int], chosen: Yard | None
) -> tuple[BoardYard, ...]:
    """Return the yards in scope with their horses, all of them first."""
    held: dict[int, int] = {}
    for (yard, _), count in counts.items():
        held[yard] = held.get(yard, 0) + count
    return (
        BoardYard(None, "", sum(held.values()), current=chosen is None),
        *(
            BoardYard(
                each.ref,
                each.name,
                held.get(each.id, 0),
                current=chosen is not None and chosen.id == each.id,
            )
            for each in yards
        ),
    )


def hands(viewer: Viewer) -> tuple[PersonName, ...]:
    """Return whose hand may have been the last on a horse in scope, by name, in one query."""
    doors.require(viewer, Verb.READ_STANDING)
    rows = Assessor.objects.order_by("name", "id")
    if viewer.yards is not None:
        # Who scored only where the viewer does not look is nobody that the viewer knows of.
        last = Standing.objects.filter(doors.scope(viewer, horse="horse_id"))
        kept = Assessment.objects.filter(id__in=last.values("last_assessment_id"))
        rows = rows.filter(id__in=kept.values("assessor_id"))
    return tuple(PersonName(row.ref, row.name) for row in rows)


def views(viewer: Viewer) -> tuple[KeptView, ...]:
    """Return the viewer's own kept views by name; another's are nobody else's business."""
    doors.require(viewer, Verb.READ_STANDING)
    rows = BoardView.objects.filter(person_id=doors.person_of(viewer), removed_at__isnull=True)
    return tuple(KeptView(row.ref, row.name, _read(row)) for row in rows.order_by("name", "id"))


def _read(row: BoardView) -> board_wanted.Wanted | None:
    try:
        return board_wanted.read(row.asked)
    except errors.NotFound:
        return None
