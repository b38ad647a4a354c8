"""Horses by the hundred for the board, written into the tables, and what a board is of them.

Nothing here is worked out by the rules: standings and alerts are drawn at random, so that every
group, place and trend comes up.
"""

import hashlib
import random
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

import uuid_utils.compat as uuid_utils

from scoring.models import Alert, Assessment, Assessor, Standing
from scoring.queries import board
from scoring.rules import board as rule
from scoring.rules import board_search, board_wanted, outlook, risk, trend
from tests import cast
from yards.models import Horse, Yard
from yards.rules import horse as horse_rule
from yards.rules import identity
from yards.rules.roles import Viewer

# A name that is another's but for its accent, one of two words, one from right to left.
NAMES = ("Bramble", "Brámble", "Sorrel Lad", "Ørsted", "עדש", "Ænigma", "O’Malley", "O'Malley")
_RULES = ("emaciated", "danger_signs", "losing_score", "overdue")
_WRITTEN = b"\x00" * 32


@dataclass(frozen=True)
class Herd:
    """Who scored, and which yards they stand in."""

    hands: Sequence[Assessor]
    yards: Sequence[Yard]


def hands(viewer: Viewer, *names: str) -> list[Assessor]:
    """Make outside scorers, without a sign-in."""
    return [
        Assessor.objects.create(
            organisation_id=viewer.organisation,
            ref=uuid_utils.uuid7(),
            name=name,
            kind="volunteer",
            created_at=cast.BEGAN,
        )
        for name in names
    ]


def horses(
    viewer: Viewer, yards: Sequence[Yard], many: int, draw: random.Random, *, first: int = 0
) -> list[Horse]:
    """Make horses that are here, for the most part; names come up more than once."""
    made = []
    for number in range(first, first + many):
        name = f"{draw.choice(NAMES)} {number // 3}"
        made.append(
            Horse(
                organisation_id=viewer.organisation,
                ref=uuid_utils.uuid7(),
                name=name,
                name_key=identity.name_key(name),
                yard=draw.choice(yards),
                species="horse",
                use=draw.choice(horse_rule.USES),
                laminitis="never",
                endocrine="none",
                transponder=f"826{number:012}" if number % 2 else "",
                ueln=f"826002{number:06}ABC" if number % 3 == 0 else "",
                status="away" if number % 17 == 16 else "present",
                created_at=cast.BEGAN,
            )
        )
    return Horse.objects.bulk_create(made)


def scored(
    viewer: Viewer,
    animals: Sequence[Horse],
    by: Sequence[Assessor],
    now: datetime,
    draw: random.Random,
    *,
    each: int = 1,
) -> list[Assessment]:
    """Score each animal so many times, two weeks apart, the last within the last weeks."""
    rows = []
    for animal in animals:
        for back in range(each):
            at = now - timedelta(days=14 * back + draw.random() * 10, minutes=10)
            rows.append(
                Assessment(
                    organisation_id=viewer.organisation,
                    ref=uuid_utils.uuid7(),
                    horse=animal,
                    yard_id=animal.yard_id,
                    assessor=draw.choice(by),
                    recorded_by_id=cast.ref("isolde"),
                    taken_at=at,
                    received_at=at,
                    corrected_at=at,
                    content_digest=hashlib.sha256(str(animal.id).encode()).digest(),
                    scale="five",
                    scale_version=1,
                    manner="palpated",
                    neck=draw.randint(2, 8),
                    back=draw.randint(2, 8),
                    hind=draw.randint(2, 8),
                )
            )
    return Assessment.objects.bulk_create(rows)


def standings(
    viewer: Viewer,
    animals: Sequence[Horse],
    last: Sequence[Assessment],
    now: datetime,
    draw: random.Random,
) -> None:
    """Give each animal a standing: due days round today, any place, any trend, some too old."""
    newest = {row.horse_id: row for row in sorted(last, key=lambda row: row.corrected_at)}
    rows = []
    for animal in animals:
        rate, half = draw.uniform(-0.3, 0.3), draw.uniform(0.02, 0.3)
        has_rate, at = draw.random() < 0.8, now - timedelta(days=draw.choice((3, 20, 119, 121)))
        state = trend.State("five", at.timestamp(), at.timestamp() - 9e6, 5, 2.5, 0, 0.1, 0, 0.1)
        rows.append(
            Standing(
                organisation_id=viewer.organisation,
                ref=uuid_utils.uuid7(),
                horse=animal,
                yard_id=animal.yard_id,
                last_assessment=newest.get(animal.id),
                score_filter=state.plain() if has_rate else None,
                level=2.5 if has_rate else None,
                level_low=2.2 if has_rate else None,
                level_high=2.8 if has_rate else None,
                rate_per_month=rate if has_rate else None,
                rate_low=rate - half if has_rate else None,
                rate_high=rate + half if has_rate else None,
                place=draw.choice(("", "below", "within", "above")),
                score_days=28,
                weight_days=28,
                score_due_at=now + timedelta(hours=draw.randint(-60, 200)),
                weight_due_at=now + timedelta(hours=draw.randint(-40, 400)),
                updated_at=now - timedelta(hours=1),
            )
        )
    Standing.objects.bulk_create(rows)


def alerts(
    viewer: Viewer, animals: Sequence[Horse], now: datetime, draw: random.Random
) -> list[Alert]:
    """Open alerts of every severity and state on about a third, some of them two."""
    rows = []
    for animal in animals:
        for name in draw.sample(_RULES, draw.choice((0, 0, 0, 1, 1, 2))):
            severity = draw.choice(("watch", "watch", "act", "urgent"))
            state = draw.choice(("open", "acknowledged", "snoozed", "resolved"))
            rows.append(
                Alert(
                    organisation_id=viewer.organisation,
                    ref=uuid_utils.uuid7(),
                    horse=animal,
                    yard_id=animal.yard_id,
                    rule=name,
                    severity=severity,
                    state=state,
                    opened_at=now - timedelta(days=3),
                    seen_at=now - timedelta(days=2),
                    said={},
                    escalated_at=now if draw.random() < 0.1 else None,
                    acknowledged_at=now - timedelta(days=1) if state == "acknowledged" else None,
                    acknowledged_by_id=cast.ref("isolde") if state == "acknowledged" else None,
                    next_step="Look again" if state == "acknowledged" else "",
                    next_step_by=now + timedelta(days=draw.choice((-1, 1)))
                    if state == "acknowledged"
                    else None,
                    snoozed_until=now + timedelta(days=1) if state == "snoozed" else None,
                    snooze_reason="Known" if state == "snoozed" else "",
                    resolved_at=now if state == "resolved" else None,
                    resolution="reading" if state == "resolved" else "",
                )
            )
    return Alert.objects.bulk_create(rows)


def herd(
    viewer: Viewer, many: int, now: datetime, *, seed: int = 1, first: int = 0, each: int = 1
) -> Herd:
    """Make so many horses in every yard that the viewer sees, with all that a board reads."""
    draw = random.Random(seed)
    yards, by = list(Yard.objects.order_by("id")), hands(viewer, *_names(first))
    made = horses(viewer, yards, many, draw, first=first)
    rows = scored(viewer, made[: many * 4 // 5], by, now, draw, each=each)
    standings(viewer, made, rows, now, draw)
    alerts(viewer, made, now, draw)
    return Herd(by, yards)


def there() -> Herd:
    """The herd that ``herd`` made before."""
    by = Assessor.objects.filter(name__in=_names(0)).order_by("id")
    return Herd(list(by), list(Yard.objects.order_by("id")))


def _names(first: int) -> tuple[str, str]:
    """What the hands are called that score a herd, by its first horse's number."""
    return f"Hand {first}", f"Other {first}"


class Book:
    """Every row of the organisation, read once and gone through in Python."""

    def __init__(self, viewer: Viewer, now: datetime) -> None:
        self.viewer, self.now = viewer, now
        self.held: dict[int, list[Alert]] = {}
        for alert in Alert.objects.exclude(state="resolved"):
            self.held.setdefault(alert.horse_id, []).append(alert)
        joined = ("horse", "yard", "last_assessment__assessor")
        here = Standing.objects.filter(horse__status="present").select_related(*joined)
        scope = viewer.yards
        self.rows = [row for row in here if scope is None or row.yard_id in scope]
        # How letters sort is the database's business, its collation's.
        by_name = Horse.objects.order_by("name_key", "ref").values_list("ref", flat=True)
        self.names = {ref: place for place, ref in enumerate(by_name)}

    def expected(
        self, wanted: board_wanted.Wanted = board_wanted.ALL
    ) -> list[tuple[int, int, int, int, str]]:
        """What the board should hold: the places of group, calm, lateness and name, and the id."""
        found = []
        for row in self.rows:
            group = self._group(row)
            if _fits(row, group, self.now, wanted):
                place = rule.GROUPS.index(group)
                days = board.next_due(row, row.yard.time_zone, self.now).days
                early = -max(0, days) if group == rule.ASSESS_TODAY else 0
                calm = rule.calm(group, self._told(row))
                found.append((place, calm, early, self.names[row.horse.ref], str(row.horse.ref)))
        return sorted(found)

    def _group(self, row: Standing) -> str:
        due = board.next_due(row, row.yard.time_zone, self.now)
        return rule.group(self._told(row), is_due=due.state != "not_due")

    def _told(self, row: Standing) -> list[rule.Held]:
        return [
            rule.Held(
                each.severity,
                each.state,
                each.escalated_at is not None,
                rule.is_passed(each.state, each.next_step_by, self.now),
                each.rule in risk.LATENESS,
            )
            for each in self.held.get(row.horse_id, [])
        ]


def _fits(row: Standing, group: str, now: datetime, wanted: board_wanted.Wanted) -> bool:
    due = board.next_due(row, row.yard.time_zone, now)
    dues = {"": True, "due": due.state != "not_due", "overdue": due.state == "overdue"}
    told = not outlook.too_old(trend.State.of(row.score_filter), now)
    rates = (row.rate_per_month, row.rate_low, row.rate_high) if told else (None, None, None)
    last = row.last_assessment
    search = board_search.read(wanted.search)
    animal = row.horse
    return all(
        (
            wanted.yard in (None, row.yard.ref),
            wanted.group in ("", group),
            wanted.use in ("", animal.use),
            wanted.place in ("", row.place or board_wanted.NOT_PLACED),
            wanted.trend in ("", rule.way(*rates)),
            dues[wanted.due],
            wanted.assessor is None or (last is not None and last.assessor.ref == wanted.assessor),
            search is None
            or board_search.finds(search, animal.name, animal.transponder, animal.ueln),
        )
    )
