"""The vet's visit: the day list in reach, what is new of each horse, what waits for an answer.

A page of horses at a time, by what needs doing and by yard, in a number of queries that does not
hang on how many horses there are.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from uuid import UUID

from scoring.access import vet
from scoring.models import Alert, Question, VetOrderEnd
from scoring.queries import (
    board,
    board_choices,
    board_rows,
    questions,
    series,
    targets,
    vet_orders,
    vet_words,
    visit_beside,
    visit_change,
    visit_news,
    visit_since,
)
from scoring.queries import standing as standing_of
from scoring.rules import board_wanted
from scoring.rules import standing as rule
from scoring.rules import visit as visits
from yards.access import doors
from yards.models import Yard
from yards.rules.roles import Verb, Viewer

SIZE, AT_TOP = 60, 60


@dataclass(frozen=True, slots=True)
class Open:
    """An unresolved alert of a horse: ``said`` is its reason, a message key with parameters.

    ``passed``: the time of its next step has; ``has_word``: a vet has spoken of the horse since it
    opened.
    """

    ref: UUID
    rule: str
    severity: str
    state: str
    escalated: bool
    passed: bool
    has_word: bool
    said: tuple[str, Mapping[str, object]]


@dataclass(frozen=True, slots=True)
class Seen:
    """One horse on the list. ``row`` is as on the board; ``since`` from when it is told.

    ``weight_kg`` is the level by all readings, None more than 120 days after the last of them;
    ``weighed`` is the last as it was read; ``orders`` run now, the newest first.
    """

    row: board_rows.Row
    yard: UUID
    zone: str
    now: datetime
    scored: UUID | None
    scored_at: datetime | None
    weight_kg: Decimal | None
    weighed: visit_beside.Weighed | None
    orders: Sequence[vet_orders.VetOrderCard]
    alerts: tuple[Open, ...]
    asked: int
    since: visits.Since
    score: visits.Change
    weight: visits.Change
    news: visit_news.News


@dataclass(frozen=True, slots=True)
class Visit:
    """What the page shows. ``counts`` are of each group, over all pages.

    ``since`` holds every yard's day in the order of yards; ``questions`` and ``ending`` are of the
    whole list, on its first page only, so many of each at most; ``left_off`` says whether there are
    more.
    """

    today: date
    zone: str
    yards: tuple[board_choices.BoardYard, ...]
    chosen: str
    counts: Mapping[str, int]
    seen: tuple[Seen, ...]
    since: tuple[tuple[str, visits.Since], ...]
    questions: tuple[questions.QuestionCard, ...]
    ending: tuple[vet_orders.VetOrderCard, ...]
    left_off: bool
    has_next: bool
    has_previous: bool


def get_visit(
    viewer: Viewer,
    *,
    now: datetime,
    yard: UUID | None = None,
    asked: date | None = None,
    at: board_wanted.Position | None = None,
    size: int = SIZE,
) -> Visit:
    """Return one page of the day list; raises NotAllowed, and NotFound for a yard out of scope.

    ``asked`` is the day from which changes are told, by default each yard's last visit.
    """
    doors.require(viewer, Verb.READ_VISIT)
    wanted = board_wanted.Wanted(yard=yard)
    found = board.glance(viewer, now=now, wanted=wanted, at=at, size=size)
    last = {} if asked else visit_since.last_recorded(viewer, found.yards, now)
    days = {
        each.id: visits.since(asked, last.get(each.id), now, each.time_zone) for each in found.yards
    }
    asked_for = _questions(viewer, found.chosen) if at is None else ()
    soon = visits.soon(now, found.zone)
    ending = _ending(viewer, found.chosen, now, soon) if at is None else ()
    shown = [each for each in found.yards if found.chosen in (None, each)]
    return Visit(
        today=found.today,
        zone=found.zone,
        yards=board_choices.yards_of(found.yards, found.cut.counts, found.chosen),
        chosen=found.chosen.name if found.chosen is not None else "",
        counts=found.counts,
        seen=_seen(viewer, found, days, now),
        since=tuple((each.name, days[each.id]) for each in shown),
        questions=asked_for[:AT_TOP],
        ending=ending[:AT_TOP],
        left_off=max(len(asked_for), len(ending)) > AT_TOP,
        has_next=found.cut.has_next,
        has_previous=found.cut.has_previous,
    )


def _questions(viewer: Viewer, chosen: Yard | None) -> tuple[questions.QuestionCard, ...]:
    return tuple(questions.open_questions(viewer, yard=chosen, most=AT_TOP + 1))


def _ending(
    viewer: Viewer, chosen: Yard | None, now: datetime, soon: datetime
) -> tuple[vet_orders.VetOrderCard, ...]:
    """Return the orders in force that end soon, the soonest first, in two queries."""
    rows = vet.orders_in_scope(viewer).filter(until_at__gt=now, until_at__lte=soon)
    if chosen is not None:
        rows = rows.filter(horse__yard_id=chosen.id)
    rows = rows.exclude(id__in=VetOrderEnd.objects.values("order_id"))
    return tuple(
        vet_orders.cards_of(list(vet_orders.joined(rows).order_by("until_at", "id")[: AT_TOP + 1]))
    )


def _seen(
    viewer: Viewer, found: board.Glance, days: Mapping[int, visits.Since], now: datetime
) -> tuple[Seen, ...]:
    standings = [each.standing for each in found.subjects]
    keys = [each.horse_id for each in standings]
    orders = targets.orders_of(keys, now)
    since = {each.horse_id: days[each.yard_id].at for each in standings}
    owner = series.owners(keys)
    changed = visit_change.changes(standings, owner, orders, since)
    news = visit_news.news(owner, since, visits.soon(now, found.zone))
    beside = visit_beside.beside(viewer, found.subjects, now)
    asked = _asked(owner)
    return tuple(
        _horse(
            viewer,
            each,
            orders.get(each.standing.horse_id, targets.NO_ORDERS),
            now,
            beside=beside,
            asked=asked.get(each.standing.horse_id, 0),
            since=days[each.standing.yard_id],
            changed=changed[each.standing.horse_id],
            news=news[each.standing.horse_id],
        )
        for each in found.subjects
    )


def _asked(owner: Mapping[int, int]) -> dict[int, int]:
    """Return how many questions are open by horse key, in one query."""
    found: dict[int, int] = {}
    rows = Question.objects.filter(horse_id__in=owner, ends__isnull=True)
    for horse in rows.values_list("horse_id", flat=True):
        found[owner[horse]] = found.get(owner[horse], 0) + 1
    return found


def _horse(
    viewer: Viewer,
    subject: board_rows.Subject,
    orders: targets.Orders,
    now: datetime,
    *,
    beside: visit_beside.Beside,
    asked: int,
    since: visits.Since,
    changed: tuple[visits.Change, visits.Change],
    news: visit_news.News,
) -> Seen:
    standing = subject.standing
    state = rule.State.of(standing.weight_filter)
    last = standing.last_assessment
    return Seen(
        row=board_rows.row_of(viewer, subject, orders, None, now=now, several=True),
        yard=standing.yard.ref,
        zone=standing.yard.time_zone,
        now=now,
        scored=last.ref if last is not None else None,
        scored_at=last.corrected_at if last is not None else None,
        weight_kg=standing_of.weight_told(state, now) if state is not None else None,
        weighed=beside.weighed.get(standing.horse_id),
        orders=beside.orders.get(standing.horse_id, ()),
        alerts=tuple(_open(each, subject, beside) for each in subject.alerts),
        asked=asked,
        since=since,
        score=changed[0],
        weight=changed[1],
        news=news,
    )


def _open(alert: Alert, subject: board_rows.Subject, beside: visit_beside.Beside) -> Open:
    key, params = alert.said["reason"]
    word = vet_words.last(beside.words, subject.standing.horse.ref, alert.opened_at)
    return Open(
        ref=alert.ref,
        rule=alert.rule,
        severity=alert.severity,
        state=alert.state,
        escalated=alert.escalated_at is not None,
        passed=subject.passed(alert),
        has_word=word is not None,
        said=(key, params),
    )
