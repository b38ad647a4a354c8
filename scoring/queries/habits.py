"""How an animal has been weighed before, and what of that a new weighing breaks."""

from collections.abc import Iterable, Sequence
from typing import Any
from zoneinfo import ZoneInfo

from scoring.models import Weighing
from scoring.rules import habit, tape
from scoring.rules import weighing as rule
from yards.models import Horse, Yard, rows
from yards.rules.errors import FieldError

# Asked with every weight. Animal by animal, so that the index ends at the newest few: joined to the
# animals, every weight of the organisation is looked at, where the planner does not know yet how
# many there are.
EARLIER = """SELECT row.corrected_at, row.method, instrument.ref, row.formula, row.tape_side,
        row.tape_position, row.fed
    FROM (SELECT id FROM yards_horse
            WHERE id = %(horse)s OR merged_into_id = %(horse)s) member
    CROSS JOIN LATERAL (SELECT * FROM scoring_weighing row WHERE row.horse_id = member.id
        AND row.corrected_at < %(until)s AND row.corrected_at >= %(since)s
        AND row.id <> %(without)s AND NOT EXISTS
            (SELECT FROM scoring_weighing later WHERE later.supersedes_id = row.id OFFSET 0)
        ORDER BY row.corrected_at DESC, row.received_at DESC, row.id DESC LIMIT %(most)s) row
    LEFT JOIN scoring_instrument instrument ON instrument.id = row.instrument_id
    ORDER BY row.corrected_at DESC, row.received_at DESC, row.id DESC LIMIT %(most)s"""


def broken(
    horse: Horse, yard: Yard, checked: rule.Weighing, *, old: Weighing | None
) -> tuple[FieldError, ...]:
    """Return a warning for each way in which a weighing differs from those before it.

    In one query. ``yard`` is where it was taken, whose clock counts; ``old`` is what it corrects,
    which is no habit.
    """
    weight = checked.weight
    new = habit.Taken(
        checked.corrected_at,
        weight.method,
        weight.instrument,
        weight.formula,
        weight.tape_side,
        weight.tape_position,
        weight.fed,
    )
    asked = {
        "horse": horse.merged_into_id or horse.id,
        "until": new.at,
        "since": new.at - tape.habit().span,
        "without": old.id if old is not None else 0,
        "most": tape.habit().newest,
    }
    earlier = [habit.Taken(*row) for row in rows.asked(EARLIER, asked)]
    return habit.breaks(new, earlier, ZoneInfo(yard.time_zone))


def plain(warnings: Iterable[FieldError]) -> list[list[Any]]:
    """Return warnings as a row's JSON holds them: field, message key, parameters."""
    return [[each.field, each.key, dict(each.params)] for each in warnings]


def told(rows: Sequence[Sequence[Any]]) -> tuple[FieldError, ...]:
    """Return warnings as a row's JSON holds them, their parameters in one order."""
    return tuple(FieldError(field, key, dict(sorted(of.items()))) for field, key, of in rows)
