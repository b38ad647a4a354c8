"""Who is told of a rung, decided at the moment of telling: grants, absences, owners as they are."""

import logging
from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping, Sequence
from datetime import datetime
from uuid import UUID

from scoring.actions import notices
from scoring.models import Alert
from scoring.queries import own_policies, recipients
from scoring.rules import ladder, policy
from scoring.rules.policy import Policy
from yards.rules.roles import Role, Viewer

logger = logging.getLogger(__name__)

Groups = Iterable[Sequence[Alert]]


def tell(
    viewer: Viewer,
    kind: str,
    groups: Groups,
    policies: Mapping[str, Policy],
    *,
    now: datetime,
    beside: Collection[Alert] = (),
) -> int:
    """Write one message a person about each group of alerts; return how many were written.

    Every alert has taken its rung. A person gets those of a group that the rung tells them of; a
    group goes out when its gravest does, so a lesser finding holds nothing back. ``beside`` are
    alerts that wait for their own rung, and are told of along with others of their horse.
    """
    told = [list(group) for group in groups if group]
    if not told:
        return 0
    heard = _heard(viewer, [alert for group in told for alert in group], policies, now)
    messages = []
    for group in told:
        mine: dict[UUID, list[Alert]] = defaultdict(list)
        for alert in group:
            for person in heard[alert.id]:
                mine[person].append(alert)
        horses = {alert.horse_id for alert in group}
        more = [alert for alert in beside if alert.horse_id in horses]
        for person, alerts in mine.items():
            by = _chosen_by(person, alerts, policies)
            messages.append(_message(kind, person, [*alerts, *more], by, now))
    notices.write(viewer, messages, now=now)
    return len(messages)


def by_horse(alerts: Iterable[Alert]) -> list[list[Alert]]:
    """Return alerts by horse: what one pass found of one horse is one message."""
    found: dict[int, list[Alert]] = defaultdict(list)
    for alert in alerts:
        found[alert.horse_id].append(alert)
    return list(found.values())


def _heard(
    viewer: Viewer, alerts: Sequence[Alert], policies: Mapping[str, Policy], now: datetime
) -> Mapping[int, frozenset[UUID]]:
    reaches = recipients.reaches(viewer, roles=policy.HEARERS, now=now)
    away = own_policies.away(viewer, now)
    found = {}
    for alert in alerts:
        hearers = [
            policy.Hearer(reach.person, reach.role, reach.person in away)
            for reach in reaches
            if reach.covers(horse=alert.horse_id, yard=alert.horse.yard_id)
        ]
        rung = policies[alert.severity].rungs[alert.step]
        found[alert.id] = policy.audience(rung, hearers, alert.owner_id)
        if not found[alert.id] and any(alert.horse_id in each.closed for each in reaches):
            # Restricted, and nobody of this rung is named: whoever is named must hear.
            found[alert.id] = frozenset(each.person for each in hearers)
        if not found[alert.id]:
            logger.error("nobody holds a grant to be told of an alert")
    return found


def _chosen_by(person: UUID, alerts: Sequence[Alert], policies: Mapping[str, Policy]) -> list[str]:
    """Return under which roles somebody gets a message: whoever lost them by then gets none.

    Who is named, or whose the alert is, gets it under any role that may answer.
    """
    rungs = [(policies[alert.severity].rungs[alert.step], alert.owner_id) for alert in alerts]
    if any(person in rung.people or person == owner for rung, owner in rungs):
        return [role.value for role in policy.HEARERS]
    return sorted(
        {Role.COORDINATOR.value, *(role.value for rung, _ in rungs for role in rung.roles)}
    )


def _message(
    kind: str, person: UUID, alerts: Sequence[Alert], roles: list[str], now: datetime
) -> notices.Message:
    alone = alerts[0] if len(alerts) == 1 else None
    # The number of the telling is the repeat: a rung taken again is another message.
    about = [f"{alert.ref}/{alert.step}/{alert.version}/{alert.tellings}" for alert in alerts]
    yards = {alert.horse.yard_id for alert in alerts}
    return notices.Message(
        kind=kind,
        person=person,
        due_at=now,
        about=tuple(sorted(about)),
        alert=alone.id if alone is not None else None,
        yard=yards.pop() if len(yards) == 1 else None,
        params={
            "alerts": [str(alert.ref) for alert in alerts],
            "roles": roles,
            "urgent": any(alert.severity == ladder.URGENT for alert in alerts),
        },
    )
