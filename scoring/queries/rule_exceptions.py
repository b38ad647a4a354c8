"""Exceptions to risk rules, as readers see them."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from django.db.models import F, Q, QuerySet

from scoring.access import own_rules as access
from scoring.models import RuleException
from scoring.queries import own_rules
from scoring.rules.own_rule import Setting
from yards.access import doors
from yards.queries import paging
from yards.queries.people import PersonName
from yards.rules.roles import Verb, Viewer

IN_FORCE, OVER = "in_force", "over"
STATES = (IN_FORCE, OVER)
# As many as one page needs; nobody reads more.
MOST = 100


@dataclass(frozen=True, slots=True)
class ExceptionCard:
    """A rule as it is for one yard or one horse until an instant. ``named`` is the subject's name.

    ``yard`` is the excepted yard, or None; of a horse ``zone`` is that of the yard it stands in.
    """

    id: UUID
    rule: str
    yard: UUID | None
    horse: UUID | None
    named: str
    zone: str
    setting: Setting
    reason: str
    given_by: PersonName
    given_at: datetime
    until: datetime
    ended_at: datetime | None
    ended_by: PersonName | None
    end_reason: str
    state: str
    replayed: bool = False


@dataclass(frozen=True, slots=True)
class Wanted:
    """What a list of exceptions is narrowed to; empty is no bound."""

    state: str = ""
    rule: str = ""
    yard: UUID | None = None
    horse: UUID | None = None


def _card(row: RuleException, now: datetime, *, replayed: bool = False) -> ExceptionCard:
    subject = row.horse or row.yard
    yard = row.horse.yard if row.horse is not None else row.yard
    is_over = row.ended_at is not None or row.until_at <= now
    return ExceptionCard(
        id=row.ref,
        rule=row.rule,
        yard=row.yard.ref if row.yard is not None else None,
        horse=row.horse.ref if row.horse is not None else None,
        named=subject.name if subject is not None else "",
        zone=yard.time_zone if yard is not None else "UTC",
        setting=own_rules.setting_of(row.is_on, row.thresholds),
        reason=row.reason,
        given_by=PersonName(row.given_by.id, row.given_by.name),
        given_at=row.given_at,
        until=row.until_at,
        ended_at=row.ended_at,
        ended_by=PersonName(row.ended_by.id, row.ended_by.name) if row.ended_by else None,
        end_reason=row.end_reason,
        state=OVER if is_over else IN_FORCE,
        replayed=replayed,
    )


_JOINED = ("yard", "horse__yard", "given_by", "ended_by")


def get_exception(
    viewer: Viewer, ref: UUID, *, now: datetime, replayed: bool = False
) -> ExceptionCard:
    """Return one exception, or raise NotFound or NotAllowed."""
    row = access.exception_for_read(viewer, ref)
    found = RuleException.objects.select_related(*_JOINED).get(id=row.id)
    return _card(found, now, replayed=replayed)


def _in_force(rows: QuerySet[RuleException], now: datetime) -> QuerySet[RuleException]:
    return rows.filter(ended_at__isnull=True, until_at__gt=now)


def in_force(viewer: Viewer, *, rule: str = "", now: datetime) -> tuple[ExceptionCard, ...]:
    """Return the exceptions in scope that are in force, of one rule or all, those ending first."""
    doors.require(viewer, Verb.READ_RULES)
    rows = _in_force(access.exceptions_in_scope(viewer), now).select_related(*_JOINED)
    if rule:
        rows = rows.filter(rule=rule)
    return _cards(rows.order_by("until_at", "id")[:MOST], now)


def of_horse(viewer: Viewer, ref: UUID, *, now: datetime) -> tuple[ExceptionCard, ...]:
    """Return those in force for one horse: its own, and its yard's; its own first by each rule."""
    horse = doors.horse_for_read(viewer, ref)
    doors.require(viewer, Verb.READ_RULES)
    rows = RuleException.objects.filter(Q(horse_id=horse.id) | Q(yard_id=horse.yard_id))
    rows = _in_force(rows, now).select_related(*_JOINED)
    return _cards(rows.order_by("rule", F("horse_id").asc(nulls_last=True)), now)


def _cards(rows: Iterable[RuleException], now: datetime) -> tuple[ExceptionCard, ...]:
    return tuple(_card(row, now) for row in rows)


def list_exceptions(
    viewer: Viewer,
    wanted: Wanted,
    *,
    now: datetime,
    cursor: str | None = None,
    size: int = paging.SIZE,
) -> paging.Page[ExceptionCard]:
    """Return exceptions in scope, newest first, those that are over too."""
    doors.require(viewer, Verb.READ_RULES)
    rows = access.exceptions_in_scope(viewer).select_related(*_JOINED)
    bounds = {"rule": wanted.rule, "yard__ref": wanted.yard, "horse__ref": wanted.horse}
    rows = rows.filter(**{name: bound for name, bound in bounds.items() if bound})
    stands = Q(ended_at__isnull=True, until_at__gt=now)
    if wanted.state:
        rows = rows.filter(stands if wanted.state == IN_FORCE else ~stands)
    return paging.page_of(
        viewer,
        rows,
        lambda found: [_card(row, now) for row in found],
        name="rule_exceptions",
        cursor=cursor,
        size=size,
    )
