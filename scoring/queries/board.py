"""The yard board: every horse that is here, grouped by what needs doing, a page at a time.

Read from standings only, in a number of queries that does not hang on how many horses there are. A
glance finds which horses a page holds and whether anything on it has changed; ``seen`` the rest.
"""

import hashlib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from zoneinfo import ZoneInfo

from scoring.models import Standing
from scoring.queries import board_choices, board_lines, board_page, board_rows, targets
from scoring.rules import board as rule
from scoring.rules import board_wanted
from yards.access import doors
from yards.models import Yard
from yards.rules import errors
from yards.rules.roles import Verb, Viewer

GROUPS = rule.GROUPS
SIZE = 60
next_due = board_rows.next_due


@dataclass(frozen=True, slots=True)
class Glance:
    """Which horses a page holds, and ``mark``: the same as long as nothing on it has changed."""

    yards: Sequence[Yard]
    chosen: Yard | None
    cut: board_page.Cut
    subjects: Sequence[board_rows.Subject]
    today: date
    zone: str
    mark: str

    @property
    def counts(self) -> dict[str, int]:
        """How many horses of each group there are in the chosen yard, or in all."""
        counts = dict.fromkeys(GROUPS, 0)
        for (yard, group), count in self.cut.counts.items():
            if self.chosen is None or yard == self.chosen.id:
                counts[group] += count
        return counts

    @property
    def calms(self) -> dict[tuple[str, int], int]:
        """How many horses of the chosen yard, or of all, by group and how calm they are in it."""
        calms: dict[tuple[str, int], int] = {}
        for (yard, group, calm), count in self.cut.calms.items():
            if self.chosen is None or yard == self.chosen.id:
                calms[group, calm] = calms.get((group, calm), 0) + count
        return calms


@dataclass(frozen=True, slots=True)
class Board:
    """All that the page shows. ``today`` and ``zone`` are the chosen yard's, or the first's.

    ``counts`` are of each group in the chosen yard, over all pages, ``calms`` of each group and how
    calm the horses are in it (``rule.calm``); ``touched`` how many of them
    have changed since the list was begun.
    """

    today: date
    zone: str
    yards: tuple[board_choices.BoardYard, ...]
    counts: Mapping[str, int]
    calms: Mapping[tuple[str, int], int]
    rows: tuple[board_rows.Row, ...]
    has_next: bool
    has_previous: bool
    touched: int
    restarted: bool
    mark: str

    @property
    def total(self) -> int:
        """How many horses are wanted, over all pages."""
        return sum(self.counts.values())


def glance(
    viewer: Viewer,
    *,
    now: datetime,
    wanted: board_wanted.Wanted = board_wanted.ALL,
    at: board_wanted.Position | None = None,
    size: int = SIZE,
) -> Glance:
    """Return which horses a page holds, in four queries, or five where it begins at a horse.

    Raises NotFound for a yard out of scope.
    """
    doors.require(viewer, Verb.READ_STANDING)
    yards = list(doors.yards_in_scope(viewer).order_by("name_key", "id"))
    chosen = next((each for each in yards if each.ref == wanted.yard), None)
    if wanted.yard is not None and chosen is None:
        raise errors.NotFound
    cut = board_page.cut(viewer, yards, wanted, chosen=chosen, at=at, now=now, size=size)
    subjects = _subjects(cut.keys, now)
    place = chosen or (yards[0] if yards else None)
    zone = place.time_zone if place is not None else "UTC"
    today = now.astimezone(ZoneInfo(zone)).date()
    told = (today, sorted(cut.calms.items()), [each.mark for each in subjects])
    mark = hashlib.sha256(repr(told).encode()).hexdigest()
    return Glance(yards, chosen, cut, subjects, today, zone, mark)


def _subjects(keys: Sequence[board_page.Key], now: datetime) -> list[board_rows.Subject]:
    """Return the page's horses in its order, with their alerts, in two queries."""
    horses = [each.horse for each in keys]
    standings = {
        each.horse_id: each
        for each in Standing.objects.filter(horse_id__in=horses).select_related(
            "horse", "yard", "last_assessment"
        )
    }
    alerts = board_rows.alerts_of(horses)
    return [
        board_rows.Subject(
            standings[key.horse],
            alerts.get(key.horse, ()),
            board_rows.next_due(standings[key.horse], standings[key.horse].yard.time_zone, now),
            key.group,
            key.calm,
            now,
        )
        for key in keys
    ]


def seen(viewer: Viewer, found: Glance, *, now: datetime) -> Board:
    """Return the board of a glance, in four queries more."""
    standings = [each.standing for each in found.subjects]
    orders = targets.orders_of([each.horse_id for each in standings], now)
    lines = board_lines.lines_of(standings, orders, now)
    rows = [
        board_rows.row_of(
            viewer,
            each,
            orders.get(each.standing.horse_id, targets.NO_ORDERS),
            lines.get(each.standing.horse_id),
            now=now,
            several=found.chosen is None,
        )
        for each in found.subjects
    ]
    return Board(
        today=found.today,
        zone=found.zone,
        yards=board_choices.yards_of(found.yards, found.cut.counts, found.chosen),
        counts=found.counts,
        calms=found.calms,
        rows=tuple(rows),
        has_next=found.cut.has_next,
        has_previous=found.cut.has_previous,
        touched=found.cut.touched,
        restarted=found.cut.restarted,
        mark=found.mark,
    )


def yard_board(
    viewer: Viewer,
    *,
    now: datetime,
    wanted: board_wanted.Wanted = board_wanted.ALL,
    at: board_wanted.Position | None = None,
    size: int = SIZE,
) -> Board:
    """Return one page of the board; see ``glance`` and ``seen``."""
    return seen(viewer, glance(viewer, now=now, wanted=wanted, at=at, size=size), now=now)
