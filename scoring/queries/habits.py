"""How an animal has been weighed before, and what of that a new weighing breaks."""

from collections.abc import Iterable, Sequence
from typing import Any
from zoneinfo import ZoneInfo

from django.db.models import Q

from scoring.models import Weighing
from scoring.rules import habit, tape
from scoring.rules import weighing as rule
from yards.models import Horse, Yard
from yards.rules.errors import FieldError

_HOW = ("corrected_at", "method", "instrument__ref", "formula", "tape_side", "tape_position", "fed")


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
    key = horse.merged_into_id or horse.id
    rows = Weighing.objects.filter(
        Q(horse_id=key) | Q(horse__merged_into_id=key),
        corrected_at__lt=new.at,
        corrected_at__gte=new.at - tape.habit().span,
        superseded_by__isnull=True,
    )
    if old is not None:
        rows = rows.exclude(id=old.id)
    newest = rows.order_by("-corrected_at", "-received_at", "-id")[: tape.habit().newest]
    earlier = [habit.Taken(*row) for row in newest.values_list(*_HOW)]
    return habit.breaks(new, earlier, ZoneInfo(yard.time_zone))


def plain(warnings: Iterable[FieldError]) -> list[list[Any]]:
    """Return warnings as a row's JSON holds them: field, message key, parameters."""
    return [[each.field, each.key, dict(each.params)] for each in warnings]


def told(rows: Sequence[Sequence[Any]]) -> tuple[FieldError, ...]:
    """Return warnings as a row's JSON holds them, their parameters in one order."""
    return tuple(FieldError(field, key, dict(sorted(of.items()))) for field, key, of in rows)
