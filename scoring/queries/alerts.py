"""Alerts, as readers see them."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any
from uuid import UUID

from django.db.models import Count

from scoring.access import alerts as access
from scoring.models import Alert, AlertSighting
from scoring.rules import risk
from yards import isolation
from yards.access import doors
from yards.models import User, rows
from yards.queries import paging, yards
from yards.queries.people import PersonName
from yards.rules.roles import Verb, Viewer


@dataclass(frozen=True, slots=True)
class AlertCard:
    """One episode of one rule on one horse. ``said`` holds message keys (``wording`` says them).

    ``yard`` is where the horse stands now, and ``vet`` and ``time_zone`` are that yard's.
    """

    id: UUID
    horse: UUID
    horse_name: str
    yard: UUID
    yard_name: str
    time_zone: str
    vet: yards.VetContact
    rule: str
    severity: str
    state: str
    unasked_since: datetime | None
    said: Mapping[str, Any]
    opened_at: datetime
    seen_at: datetime
    escalated_at: datetime | None
    exhausted_at: datetime | None
    next_at: datetime | None
    owner: PersonName | None
    acknowledged_at: datetime | None
    acknowledged_by: PersonName | None
    note: str
    next_step: str
    next_step_by: datetime | None
    snoozed_until: datetime | None
    snooze_reason: str
    snoozed_by: PersonName | None
    resolved_at: datetime | None
    resolved_by: PersonName | None
    resolution: str
    resolve_reason: str
    vet_said: str
    version: int


@dataclass(frozen=True, slots=True)
class Wanted:
    """What a list of alerts is narrowed to; empty is no bound."""

    state: str = ""
    severity: str = ""
    rule: str = ""
    yard: UUID | None = None
    horse: UUID | None = None


# A state to ask for: any but resolved.
UNRESOLVED = "unresolved"


def _name(user: User | None) -> PersonName | None:
    return PersonName(user.id, user.name) if user is not None else None


def card_of(alert: Alert) -> AlertCard:
    """Return an alert's row as its card; horse, its yard and the people are joined already."""
    horse, yard = alert.horse, yards.card_of(alert.horse.yard)
    return AlertCard(
        id=alert.ref,
        horse=horse.ref,
        horse_name=horse.name,
        yard=yard.ref,
        yard_name=yard.name,
        time_zone=yard.time_zone,
        vet=yard.vet,
        rule=alert.rule,
        severity=alert.severity,
        state=alert.state,
        unasked_since=alert.unasked_since,
        said=alert.said,
        opened_at=alert.opened_at,
        seen_at=alert.seen_at,
        escalated_at=alert.escalated_at,
        exhausted_at=alert.exhausted_at,
        next_at=alert.next_at,
        owner=_name(alert.owner),
        acknowledged_at=alert.acknowledged_at,
        acknowledged_by=_name(alert.acknowledged_by),
        note=alert.note,
        next_step=alert.next_step,
        next_step_by=alert.next_step_by,
        snoozed_until=alert.snoozed_until,
        snooze_reason=alert.snooze_reason,
        snoozed_by=_name(alert.snoozed_by),
        resolved_at=alert.resolved_at,
        resolved_by=_name(alert.resolved_by),
        resolution=alert.resolution,
        resolve_reason=alert.resolve_reason,
        vet_said=alert.vet_said,
        version=alert.version,
    )


JOINED = ("horse__yard", "acknowledged_by", "resolved_by", "owner", "snoozed_by")


def get_alert(viewer: Viewer, ref: UUID) -> AlertCard:
    """Return one alert, or raise NotFound or NotAllowed."""
    access.alert_for_read(viewer, ref)
    return card_of(Alert.objects.select_related(*JOINED).get(ref=ref))


def get_alerts(viewer: Viewer, refs: Sequence[UUID | str]) -> tuple[AlertCard, ...]:
    """Return those of the alerts that the viewer may know of, by the names of their horses."""
    doors.require(viewer, Verb.READ_ALERTS)
    found = access.alerts_in_scope(viewer).filter(ref__in=list(refs)).select_related(*JOINED)
    return tuple(card_of(row) for row in found.order_by("horse__name_key", "id"))


@dataclass(frozen=True, slots=True)
class Reader:
    """Who read what an alert last rested on, when, and by which manner (none: a concern)."""

    name: str
    at: datetime
    manner: str


def read_by(viewer: Viewer, refs: Sequence[UUID]) -> dict[UUID, Reader]:
    """Return by alert who read what last opened or renewed it, in one query.

    What a day's sweep opened, and what rests on weights alone, names nobody.
    """
    doors.require(viewer, Verb.READ_ALERTS)
    sightings = AlertSighting.objects.filter(
        alert__in=access.alerts_in_scope(viewer).filter(ref__in=refs)
    )
    sightings = sightings.select_related("alert", "assessment__assessor", "concern__assessor")
    found: dict[UUID, Reader] = {}
    for row in sightings.order_by("alert_id", "-id").distinct("alert_id"):
        if row.assessment is not None:
            read = row.assessment
            found[row.alert.ref] = Reader(read.assessor.name, read.corrected_at, read.manner)
        elif row.concern is not None:
            seen = row.concern
            found[row.alert.ref] = Reader(seen.assessor.name, seen.corrected_at, "")
    return found


def list_watched(viewer: Viewer) -> tuple[AlertCard, ...]:
    """Return the open alerts in scope that are to be watched and are no mere lateness."""
    doors.require(viewer, Verb.READ_ALERTS)
    found = access.alerts_in_scope(viewer).filter(severity="watch", state="open")
    found = found.exclude(rule__in=risk.LATENESS).select_related(*JOINED)
    return tuple(card_of(row) for row in found.order_by("horse__name_key", "id"))


def list_unanswered(viewer: Viewer) -> tuple[AlertCard, ...]:
    """Return what is not resolved in scope and is more than to be watched, gravest first."""
    doors.require(viewer, Verb.READ_ALERTS)
    found = access.alerts_in_scope(viewer).exclude(state="resolved").exclude(severity="watch")
    found = found.select_related(*JOINED)
    return tuple(card_of(row) for row in found.order_by("-severity", "horse__name_key", "id"))


@dataclass(frozen=True, slots=True)
class Unheard:
    """An alert whose ladder was climbed in vain: its horse's name and its rule."""

    id: UUID
    horse: str
    rule: str


# Asked with every page of a coordinator and a vet.
_EXHAUSTED = f"""SELECT alert.ref, horse.name, alert.rule FROM scoring_alert alert
    JOIN yards_horse horse ON horse.id = alert.horse_id
    WHERE alert.organisation_id = %(organisation)s AND alert.exhausted_at IS NOT NULL
    AND {doors.IN_SCOPE}
    ORDER BY alert.exhausted_at, alert.id LIMIT %(most)s"""  # noqa: S608 - constants only


def exhausted(viewer: Viewer, *, most: int) -> tuple[Unheard, ...]:
    """Return alerts in scope whose ladder was climbed in vain, up to so many, oldest first."""
    isolation.required(viewer)
    bounds = {"organisation": viewer.organisation, "most": most, **doors.scope_of(viewer)}
    return tuple(Unheard(*each) for each in rows.asked(_EXHAUSTED, bounds))


def count_alerts(viewer: Viewer) -> dict[str, int]:
    """Return how many alerts in scope are in each state; none is absent."""
    doors.require(viewer, Verb.READ_ALERTS)
    found = access.alerts_in_scope(viewer).order_by().values_list("state")
    return dict(found.annotate(number=Count("id")))


def list_alerts(
    viewer: Viewer,
    wanted: Wanted | None = None,
    *,
    cursor: str | None = None,
    size: int = paging.SIZE,
) -> paging.Page[AlertCard]:
    """Return the alerts in scope that are wanted, newest first."""
    doors.require(viewer, Verb.READ_ALERTS)
    wanted = wanted or Wanted()
    found = access.alerts_in_scope(viewer).select_related(*JOINED)
    if wanted.state == UNRESOLVED:
        found = found.exclude(state="resolved")
    bounds = {
        "state": "" if wanted.state == UNRESOLVED else wanted.state,
        "severity": wanted.severity,
        "rule": wanted.rule,
        "horse__yard__ref": wanted.yard,
        "horse__ref": wanted.horse,
    }
    found = found.filter(**{name: bound for name, bound in bounds.items() if bound})
    return paging.page_of(
        viewer,
        found,
        lambda found: [card_of(row) for row in found],
        name="alerts",
        cursor=cursor,
        size=size,
    )
