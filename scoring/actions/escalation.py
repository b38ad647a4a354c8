"""The ladder: who is told when an alert opens, and what happens when nobody answers.

The organisation's policy says the rungs (``scoring.rules.policy``), the alert's life when each is
due (``scoring.rules.life``). The last is repeated until somebody answers. An acknowledged alert
comes back when its next step's time passes and nobody was with the horse since.
Handlers hold locks in one order, as all writers do: standings by horse, alerts, timers.
"""

from collections.abc import Collection, Iterable, Mapping, Sequence
from datetime import datetime, timedelta
from typing import Any

from django.db.models import Max

from scoring.actions import lives, notices, telling, timer_rows
from scoring.models import Alert, Assessment, Standing, Timer, Weighing
from scoring.rules import ladder, life
from scoring.rules.policy import Policy
from yards import audit, isolation
from yards.models import HorseEvent, Yard
from yards.rules.roles import Viewer

FIRST = 0  # the first rung
# A morning's alerts wait this long for those of the organisation's other yards, to the next five
# minutes of the clock, so that all of them go as one message a person.
GATHER = timedelta(minutes=5)


def gathered_at(now: datetime) -> datetime:
    """Return when what a morning opens goes out: on the next five minutes but one moment."""
    whole = now.replace(minute=now.minute - now.minute % 5, second=0, microsecond=0)
    return whole + GATHER


def start(
    viewer: Viewer, alerts: Sequence[Alert], *, yard: Yard, now: datetime, together: bool = False
) -> Mapping[str, Policy]:
    """Let alerts that opened, or opened again, begin their ladder; the rows are not written yet.

    ``together``: what is not urgent waits a moment for what other yards' mornings open. Returns
    the policies that they go by, if there are any alerts.
    """
    if not alerts:
        return {}
    policies, hours = lives.policies(viewer), lives.hours_of(yard)
    later = gathered_at(now) if together else None
    for alert in alerts:
        policy = policies[alert.severity]
        lives.keep(alert, life.begun(lives.of(alert), policy, now, hours, not_before=later))
    return policies


def announce(
    viewer: Viewer,
    alerts: Sequence[Alert],
    policies: Mapping[str, Policy],
    *,
    now: datetime,
    together: bool = False,
) -> None:
    """Tell of alerts that ``start`` began, those of one horse in one message; set their timers."""
    if not alerts:
        return
    told = [alert for alert in alerts if alert.told_at == now]
    if told:
        waiting = [each for each in alerts if each.told_at is None and each.next_at is not None]
        groups = telling.by_horse(told)
        telling.tell(viewer, notices.ALERT, groups, policies, now=now, beside=waiting)
    lives.plan(viewer, alerts, now=now, together=together)


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
    """Nobody answered, or the morning has come: take the next rung, or the last once more.

    Alerts of one yard whose time is up at the same instant go out as one message a person; what
    several yards' mornings opened does too.
    """
    timers = _companions(timer)
    alerts = _held(viewer, timers, ladder.OPEN)
    if alerts:
        policies = lives.policies(viewer)
        firsts = {alert.id for alert in alerts if alert.told_at is None}
        spent = {alert.id for alert in alerts if alert.exhausted_at is not None}
        for alert in alerts:
            _climb(alert, policies[alert.severity], now)
        Alert.objects.bulk_update(alerts, [*lives.COLUMNS, "escalated_at", "version"])
        climbed = [alert for alert in alerts if alert.told_at == now]
        first = [alert for alert in climbed if alert.id in firsts]
        later = [alert for alert in climbed if alert.id not in firsts]
        kind = notices.SEASON if _is_together(timer) else notices.ALERT
        for how, verb, told in (
            (kind, "alert.told", first),
            (notices.ESCALATION, "alert.escalated", later),
        ):
            number = telling.tell(viewer, how, [told], policies, now=now)
            if told:
                _recorded(viewer, verb, told, now, told=number)
        lives.plan(viewer, climbed, now=now)
        newly = [a for a in later if a.exhausted_at is not None and a.id not in spent]
        lives.note(viewer, [a for a in climbed if a not in newly], "told", now)
        lives.note(viewer, newly, "exhausted", now)
    _done(_put_off(timers, alerts, now), now)


def _put_off(timers: Sequence[Timer], alerts: Sequence[Alert], now: datetime) -> list[Timer]:
    """Move the timers of those that wait until their yard wakes; return the others'."""
    waiting = {a.id: a.next_at for a in alerts if a.told_at != now and a.next_at is not None}
    for timer in (each for each in timers if each.alert_id in waiting):
        Timer.objects.filter(id=timer.id).update(due_at=waiting[timer.alert_id or 0])
    return [timer for timer in timers if timer.alert_id not in waiting]


def _climb(alert: Alert, policy: Policy, now: datetime) -> None:
    """Take the rung that is due. A repeat says nothing new, and makes no answer stale."""
    before = (alert.told_at, alert.step)
    lives.keep(alert, life.told(lives.of(alert), policy, now, lives.hours_of(alert.horse.yard)))
    if alert.step > 0 and alert.told_at == now:
        alert.escalated_at = now
    if before[0] is not None and before[1] != alert.step:
        alert.version += 1


def _is_together(timer: Timer) -> bool:
    return timer.key.split(":")[1] == lives.TOGETHER


def _companions(timer: Timer) -> list[Timer]:
    """Return the timers that go with one: none, once it failed, so that it holds up nobody."""
    if timer.alert is None or timer.attempts > 0:
        return [timer]
    found = Timer.objects.select_related("alert__horse").filter(
        kind=timer.kind, due_at=timer.due_at, attempts=0, alert__isnull=False
    )
    prefix = f"{timer.kind}:{lives.TOGETHER}:"
    if _is_together(timer):
        return list(found.filter(key__startswith=prefix).order_by("id"))
    found = found.exclude(key__startswith=prefix)
    return list(found.filter(alert__horse__yard_id=timer.alert.horse.yard_id).order_by("id"))


def follow_up(viewer: Viewer, timer: Timer, now: datetime) -> None:
    """The next step's time has passed: unless somebody was with the horse since, start again."""
    for alert in _held(viewer, [timer], ladder.ACKNOWLEDGED):
        held, policies = lives.of(alert), lives.policies(viewer)
        policy, hours = policies[alert.severity], lives.hours_of(alert.horse.yard)
        after = life.followed_up(held, policy, now, hours, seen=_seen_since(alert))
        _turned(viewer, alert, after, "reopened", policies=policies, now=now)
    _done([timer], now)


def snooze_end(viewer: Viewer, timer: Timer, now: datetime) -> None:
    """The snooze is over and the alert was not resolved: it is open again, and people are told."""
    for alert in _held(viewer, [timer], ladder.SNOOZED):
        policies, hours = lives.policies(viewer), lives.hours_of(alert.horse.yard)
        after = life.woken(lives.of(alert), policies[alert.severity], now, hours)
        _turned(viewer, alert, after, "snooze_ended", policies=policies, now=now)
    _done([timer], now)


def _turned(
    viewer: Viewer,
    alert: Alert,
    after: life.Life,
    act: str,
    *,
    policies: Mapping[str, Policy],
    now: datetime,
) -> None:
    """Write what became of an alert by itself; open again, it is told and entered."""
    is_open = after.state == ladder.OPEN
    lives.keep(alert, after)
    if is_open:
        alert.escalated_at, alert.version = None, alert.version + 1
    alert.save(update_fields=[*lives.COLUMNS, "escalated_at", "version"])
    if is_open:
        lives.note(viewer, [alert], act, now)
        announce(viewer, [alert], policies, now=now)
        _recorded(viewer, f"alert.{act}", [alert], now)


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
