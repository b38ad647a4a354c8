"""The ladder: who is told when an alert opens, and what happens when nobody answers.

First rung: those who coordinate the yard (for urgent alerts the vet too). If nobody acknowledges in
time, once: everybody again, and the vet, with the advice to call the vet first. An acknowledged
alert comes back when its next step's time passes and nobody was with the horse since.
Handlers hold locks in one order, as all writers do: standings by horse, alerts, timers.
"""

import logging
from collections.abc import Collection, Iterable, Sequence
from datetime import datetime
from typing import Any

from django.db.models import Max

from scoring.actions import notices, timer_rows
from scoring.models import Alert, Assessment, Standing, Timer, Weighing
from scoring.queries import recipients
from scoring.rules import ladder
from yards import audit, isolation
from yards.models import HorseEvent, Yard
from yards.rules.roles import Viewer

logger = logging.getLogger(__name__)

FIRST, CALL_THE_VET = 0, 1
KINDS = (notices.ALERT, notices.ESCALATION)


def told_at(alert: Alert, yard: Yard, now: datetime) -> datetime:
    """Return when people are told: at once if urgent, else in the yard's waking hours."""
    return ladder.told_at(alert.severity, now, yard.time_zone, yard.quiet_from, yard.quiet_to)


def _next_rung(alert: Alert, yard: Yard, now: datetime) -> timer_rows.Planned | None:
    at = ladder.escalates_at(alert.severity, now, yard.time_zone, yard.quiet_from, yard.quiet_to)
    if at is None:
        return None
    about = (str(alert.ref), str(alert.version))
    return timer_rows.Planned(timer_rows.ESCALATE, at, about, alert=alert.id)


def begin(
    viewer: Viewer, alerts: Sequence[Alert], *, yard: Yard, now: datetime, together: bool = False
) -> None:
    """Stand on the first rung: tell those who must know, and set the time of the next rung.

    ``together``: what need not go at once goes as one message a person. Watch alerts are left to
    the daily reminder.
    """
    told = [alert for alert in alerts if alert.severity != ladder.WATCH]
    if not told:
        return
    alone = [a for a in told if not together or a.severity == ladder.URGENT]
    grouped = [a for a in told if a not in alone]
    reaches = recipients.reaches(viewer, roles=recipients.TOLD[notices.ESCALATION], now=now)
    messages = [m for a in alone for m in _messages(notices.ALERT, [a], reaches, yard, now)]
    messages += _messages(notices.SEASON, grouped, reaches, yard, now)
    notices.write(viewer, messages, now=now)
    rungs = (_next_rung(alert, yard, now) for alert in told)
    timer_rows.plan(viewer, [rung for rung in rungs if rung is not None], now=now)


def _messages(
    kind: str,
    alerts: Sequence[Alert],
    reaches: Iterable[recipients.Reach],
    yard: Yard,
    now: datetime,
) -> list[notices.Message]:
    """Return one message to each person about those of the alerts that are within their reach."""
    found = []
    for reach in reaches:
        mine = [
            alert
            for alert in alerts
            if reach.covers(horse=alert.horse_id, yard=yard.id)
            and reach.role in recipients.told(kind, is_urgent=alert.severity == ladder.URGENT)
        ]
        if mine:
            found.append(_message(kind, mine, reach, yard, now))
    if alerts and not found:
        logger.error("nobody holds a grant to be told of %d alerts (%s)", len(alerts), kind)
    return found


def _message(
    kind: str, alerts: Sequence[Alert], reach: recipients.Reach, yard: Yard, now: datetime
) -> notices.Message:
    alone = alerts[0] if len(alerts) == 1 else None
    # The version is the repeat: a step taken again is taken by a later version of the alert.
    about = [f"{alert.ref}/{alert.step}/{alert.version}" for alert in alerts]
    return notices.Message(
        kind=kind,
        person=reach.person,
        due_at=min(told_at(alert, yard, now) for alert in alerts),
        about=tuple(sorted(about)),
        alert=alone.id if alone is not None else None,
        yard=yard.id,
        params={"alerts": [str(alert.ref) for alert in alerts]},
    )


def call_off(viewer: Viewer, alerts: Collection[int], *, now: datetime) -> None:
    """Stop the ladder of these alerts: no timer runs on, no call to the vet goes out any more."""
    timer_rows.call_off(viewer, alerts, now=now)
    notices.call_off(viewer, alerts, notices.ESCALATION)


def _held(viewer: Viewer, timers: Sequence[Timer], state: str) -> list[Alert]:
    """Lock the standings, then those of the timers' alerts that are in the state, then the timers.

    Returns the alerts whose timer still runs.
    """
    isolation.required(viewer)
    horses = {timer.alert.horse_id for timer in timers if timer.alert is not None}
    standings = Standing.objects.select_for_update().filter(horse_id__in=horses)
    list(standings.order_by("horse_id").values_list("id"))
    alerts = list(
        Alert.objects.select_for_update(of=("self",))
        .select_related("horse__yard")
        .filter(id__in=[timer.alert_id for timer in timers], state=state)
        .order_by("id")
    )
    running = set(
        Timer.objects.select_for_update()
        .filter(id__in=[timer.id for timer in timers], due_at__isnull=False)
        .order_by("id")
        .values_list("alert_id", flat=True)
    )
    return [alert for alert in alerts if alert.id in running]


def _done(timers: Iterable[Timer], now: datetime) -> None:
    keys = [timer.id for timer in timers]
    Timer.objects.filter(id__in=keys).update(due_at=None, done_at=now)


def escalate(viewer: Viewer, timer: Timer, now: datetime) -> None:
    """Nobody answered: tell everybody, and the vet, to call the vet. Once an episode's ladder.

    Alerts of one yard whose time is up at the same instant go out as one message a person.
    """
    timers = _companions(timer)
    alerts = _held(viewer, timers, "open")
    for alert in alerts:
        alert.step, alert.escalated_at = CALL_THE_VET, now
        alert.version += 1
    Alert.objects.bulk_update(alerts, ["step", "escalated_at", "version"])
    if alerts:
        yard = alerts[0].horse.yard
        reaches = recipients.reaches(viewer, roles=recipients.TOLD[notices.ESCALATION], now=now)
        messages = _messages(notices.ESCALATION, alerts, reaches, yard, now)
        notices.write(viewer, messages, now=now)
        _recorded(viewer, "alert.escalated", alerts, now, told=len(messages))
    _done(timers, now)


def _companions(timer: Timer) -> list[Timer]:
    if timer.alert is None:
        return [timer]
    return list(
        Timer.objects.select_related("alert__horse")
        .filter(
            kind=timer.kind, due_at=timer.due_at, alert__horse__yard_id=timer.alert.horse.yard_id
        )
        .order_by("id")
    )


def follow_up(viewer: Viewer, timer: Timer, now: datetime) -> None:
    """The next step's time has passed: unless somebody was with the horse since, start again."""
    for alert in _held(viewer, [timer], "acknowledged"):
        if not _seen_since(alert):
            _reopen(viewer, alert, "alert.reopened", now)
    _done([timer], now)


def snooze_end(viewer: Viewer, timer: Timer, now: datetime) -> None:
    """The snooze is over and the alert was not resolved: it is open again, and people are told."""
    for alert in _held(viewer, [timer], "snoozed"):
        _reopen(viewer, alert, "alert.snooze_ended", now)
    _done([timer], now)


def _reopen(viewer: Viewer, alert: Alert, verb: str, now: datetime) -> None:
    alert.state, alert.step, alert.escalated_at = "open", FIRST, None
    alert.version += 1
    alert.save(update_fields=["state", "step", "escalated_at", "version"])
    begin(viewer, [alert], yard=alert.horse.yard, now=now)
    _recorded(viewer, verb, [alert], now)


def _seen_since(alert: Alert) -> bool:
    """Return whether the horse was scored, weighed or visited after the acknowledgement."""
    tables: tuple[tuple[Any, str], ...] = (
        (Assessment.objects, "corrected_at"),
        (Weighing.objects, "corrected_at"),
        (HorseEvent.objects.filter(kind__in=ladder.VISITS), "at"),
    )
    for rows, column in tables:
        last = rows.filter(horse_id=alert.horse_id).aggregate(last=Max(column))["last"]
        if last is not None and alert.acknowledged_at is not None and last > alert.acknowledged_at:
            return True
    return False


def _recorded(
    viewer: Viewer, verb: str, alerts: Sequence[Alert], now: datetime, **facts: int
) -> None:
    refs = [str(alert.ref) for alert in alerts]
    target = ("alert", alerts[0].ref) if len(alerts) == 1 else ("yard", alerts[0].horse.yard.ref)
    audit.record(viewer, verb=verb, target=target, payload={"alerts": refs, **facts}, at=now)
