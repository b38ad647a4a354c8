"""Episodes of alerts: opened, renewed and cleared by what rules find.

One open alert a horse and rule. A finding that comes back after the alert was resolved is a new
episode, a new row. Callers hold the horses' standing rows locked.
"""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime

import uuid_utils.compat as uuid_utils
from django.db import connection

from scoring.actions import escalation, lives, notices
from scoring.models import Alert, AlertSighting, Assessment, Concern
from scoring.rules import ladder, life, risk, risk_fat, risk_graver
from yards import isolation
from yards.models import Horse, Yard, rows
from yards.rules.roles import Viewer

OPEN, RESOLVED = "open", "resolved"
# How an alert was resolved: by a reading or by time that cleared it, by the graver alert that now
# says the same, by a person, or because the horse is gone.
BY_READING, BY_SEASON, BY_TIME, BY_GRAVER = "reading", "season", "time", "graver"
BY_PERSON, BY_END = "person", "gone"
# By whoever changed the rule, so that it no longer asks for this.
BY_SETTING = "setting"


# Asked after every reading.
_HELD = f"""SELECT {rows.columns(Alert, "alert")} FROM scoring_alert alert
    WHERE horse_id = ANY(%(horses)s) AND state <> 'resolved'
    ORDER BY id FOR UPDATE"""  # noqa: S608 - constants only
_COUNTED = """UPDATE scoring_standing standing SET open_alerts =
        (SELECT count(*) FROM scoring_alert alert
            WHERE alert.horse_id = standing.horse_id AND alert.state <> 'resolved')
    WHERE standing.horse_id = ANY(%(horses)s)"""


@dataclass(frozen=True, slots=True)
class Verdict:
    """What the rules found of one horse, and which rules could be judged at all."""

    horse: Horse
    findings: Sequence[risk.Finding]
    judged: frozenset[str]


@dataclass(frozen=True, slots=True)
class Cause:
    """What the rules were asked after: a reading, a concern, another change, or a day's sweep.

    ``is_reading``: somebody scored or weighed the animal.
    """

    assessment: Assessment | None = None
    concern: Concern | None = None
    is_sweep: bool = False
    is_reading: bool = False


@dataclass(slots=True)
class Changes:
    """What came of it."""

    opened: list[Alert] = field(default_factory=list)
    renewed: list[Alert] = field(default_factory=list)
    raised: list[Alert] = field(default_factory=list)
    resolved: list[Alert] = field(default_factory=list)
    aged: list[Alert] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class _Occasion:
    viewer: Viewer
    yard: Yard
    now: datetime
    cause: Cause


def apply_all(
    viewer: Viewer,
    verdicts: Sequence[Verdict],
    *,
    yard: Yard,
    now: datetime,
    cause: Cause,
) -> Changes:
    """Bring the alerts of a yard's horses in line, in a fixed number of queries.

    What a sweep opens goes out as one message a person, but for what is urgent.
    """
    isolation.required(viewer)
    horses = [verdict.horse.id for verdict in verdicts]
    standing = rows.read(_HELD, {"horses": horses}, Alert)
    held = {(alert.horse_id, alert.rule): alert for alert in standing}
    changes = Changes()
    for verdict in verdicts:
        _judge(_Occasion(viewer, yard, now, cause), verdict, held, changes)
    told = [*changes.opened, *changes.raised]
    policies = escalation.start(viewer, told, yard=yard, now=now, together=cause.is_sweep)
    _write(viewer, changes, horses, now, cause)
    escalation.announce(viewer, told, policies, now=now, together=cause.is_sweep)
    return changes


def _judge(
    at: _Occasion, verdict: Verdict, held: Mapping[tuple[int, str], Alert], changes: Changes
) -> None:
    found = {finding.rule: finding for finding in verdict.findings}
    for rule, finding in found.items():
        alert = held.get((verdict.horse.id, rule))
        # That a look is late is told by the sweep alone.
        is_told = at.cause.is_sweep or rule not in risk.LATENESS
        if alert is None:
            changes.opened += [_opened(at, verdict.horse, finding)] if is_told else []
        elif is_told and (not at.cause.is_sweep or _rises(alert, finding)):
            alert.horse = verdict.horse
            _renew(at, alert, finding, changes)
        elif alert.said != finding.said():
            # A day or a reading on, it is only older or less: no new version, nothing to tell.
            alert.said, alert.seen_at = finding.said(), at.now
            changes.aged.append(alert)
        if alert is not None and alert.unasked_since is not None:
            alert.unasked_since = None
            changes.aged += [] if alert in changes.aged or alert in changes.renewed else [alert]
    for rule in verdict.judged - found.keys():
        alert = held.get((verdict.horse.id, rule))
        if alert is not None and ladder.clears_by_reading(rule) and _may_clear(alert, at.cause):
            _close(alert, _how(rule, found, at.cause), at.now)
            changes.resolved.append(alert)


def _may_clear(alert: Alert, cause: Cause) -> bool:
    """Return whether what was not found ends an alert: one that only a setting ended needs more."""
    return alert.unasked_since is None or cause.is_reading


def _how(rule: str, found: Collection[str], cause: Cause) -> str:
    """Return how an alert ended that was judged and not found."""
    if risk_graver.taken_over(rule, found):
        return BY_GRAVER
    if not cause.is_sweep:
        return BY_READING
    return BY_SEASON if rule == risk_fat.FAT_IN_SPRING else BY_TIME


def _opened(at: _Occasion, horse: Horse, finding: risk.Finding) -> Alert:
    return Alert(
        organisation_id=at.viewer.organisation,
        ref=uuid_utils.uuid7(),
        horse=horse,
        yard=at.yard,
        rule=finding.rule,
        severity=finding.severity,
        state=OPEN,
        opened_at=at.now,
        seen_at=at.now,
        said=finding.said(),
    )


def _rises(alert: Alert, finding: risk.Finding) -> bool:
    return ladder.rank(finding.severity) > ladder.rank(alert.severity)


def _renew(at: _Occasion, alert: Alert, finding: risk.Finding, changes: Changes) -> None:
    """Say what was found this time. A higher severity, or a promise gone by, begins anew."""
    alert.said, alert.seen_at = finding.said(), at.now
    alert.version += 1
    if life.begins_anew(lives.of(alert), finding.severity, at.now):
        alert.severity = max(alert.severity, finding.severity, key=ladder.rank)
        alert.escalated_at = None
        changes.raised.append(alert)
    changes.renewed.append(alert)


def _close(alert: Alert, how: str, now: datetime) -> None:
    lives.keep(alert, life.resolved(lives.of(alert)))
    alert.resolution, alert.resolved_at = how, now
    alert.version += 1


CHANGED = [
    *("said", "seen_at", "escalated_at", "version"),
    *lives.COLUMNS,
    "unasked_since",
]
CLOSED = ["state", "exhausted_at", "next_at", "resolution", "resolved_at", "version"]


def _write(
    viewer: Viewer, changes: Changes, horses: Sequence[int], now: datetime, cause: Cause
) -> None:
    Alert.objects.bulk_create(changes.opened)
    rows.keep_all([*changes.renewed, *changes.aged], CHANGED)
    rows.keep_all(changes.resolved, CLOSED)
    stopped = [alert.id for alert in [*changes.resolved, *changes.raised]]
    if stopped:
        escalation.call_off(viewer, stopped, now=now)
        notices.call_off(viewer, [alert.id for alert in changes.resolved], notices.ALERT)
    if cause.assessment is not None or cause.concern is not None:
        _sight(viewer, [*changes.opened, *changes.renewed], now, cause)
    if changes.opened or changes.resolved:
        count_open(viewer, horses)


def _sight(viewer: Viewer, alerts: Sequence[Alert], now: datetime, cause: Cause) -> None:
    """Keep each alert as it stood at this reading, so that its answer can be given again."""
    AlertSighting.objects.bulk_create(
        AlertSighting(
            organisation_id=viewer.organisation,
            ref=uuid_utils.uuid7(),
            alert=alert,
            assessment=cause.assessment,
            concern=cause.concern,
            at=now,
            severity=alert.severity,
            state=alert.state,
            said=alert.said,
            version=alert.version,
        )
        for alert in alerts
    )


def count_open(viewer: Viewer, horses: Sequence[int]) -> None:
    """Write into the horses' standings how many alerts are not resolved."""
    isolation.required(viewer)
    with connection.cursor() as cursor:
        cursor.execute(_COUNTED, {"horses": list(horses)})


def set_apart(
    viewer: Viewer, alerts: Sequence[Alert], *, asked: Sequence[Alert], now: datetime
) -> None:
    """Note that a setting no longer asks for these alerts, or asks for these again."""
    isolation.required(viewer)
    keys = [alert.id for alert in alerts]
    Alert.objects.filter(id__in=keys, unasked_since__isnull=True).update(unasked_since=now)
    Alert.objects.filter(id__in=[alert.id for alert in asked]).update(unasked_since=None)


def resolve_unasked(viewer: Viewer, alerts: Sequence[Alert], *, reason: str, now: datetime) -> None:
    """Close alerts that the person who changed the rule says are over; standings are locked."""
    isolation.required(viewer)
    changes = Changes(resolved=list(alerts))
    for alert in alerts:
        _close(alert, BY_SETTING, now)
        alert.resolved_by_id, alert.resolve_reason = viewer.person, reason
    Alert.objects.bulk_update(alerts, ["resolved_by", "resolve_reason"])
    _write(viewer, changes, [alert.horse_id for alert in alerts], now, Cause())


def move(viewer: Viewer, horse: Horse, now: datetime) -> None:
    """Let a horse's alerts follow it to the yard where it stands now; the standing is locked."""
    isolation.required(viewer)
    Alert.objects.filter(horse_id=horse.id).exclude(state=RESOLVED).update(yard_id=horse.yard_id)


def is_protected(horse: Horse) -> bool:
    """Return whether an alert that protects life is unresolved; the standing is locked."""
    held = Alert.objects.filter(horse_id=horse.id, rule__in=ladder.PROTECTED)
    return held.exclude(state=RESOLVED).exists()


def end(viewer: Viewer, horse: Horse, now: datetime) -> None:
    """Close the alerts of a horse that died or left for good; the standing is locked."""
    isolation.required(viewer)
    held = Alert.objects.select_for_update().filter(horse_id=horse.id).exclude(state=RESOLVED)
    changes = Changes(resolved=list(held.order_by("id")))
    for alert in changes.resolved:
        _close(alert, BY_END, now)
    _write(viewer, changes, [horse.id], now, Cause())
