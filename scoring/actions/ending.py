"""Warns before an access ends: one letter to its holder, and the morning's summary to coordinators.

Written at the six o'clock of the organisation's first yard. The letter's row is what remembers that
this end was told, so that it is news once; the summary goes on naming it on any morning on which
there is one.
"""

from datetime import datetime

from scoring.actions import notices, reminding
from scoring.models import Notice
from scoring.queries import own_policies, recipients
from yards.access import zones
from yards.models import Yard
from yards.queries import endings
from yards.rules.roles import Role, Viewer


def warn(viewer: Viewer, yard: Yard, *, now: datetime) -> None:
    """Write what is newly to be told of accesses that end within days; nothing for other yards."""
    if yard != zones.first_yard():
        return
    messages = [_letter(each, yard, now) for each in endings.soon(viewer, now)]
    keys = [each.key for each in messages]
    known = set(Notice.objects.filter(key__in=keys).values_list("key", flat=True)) if keys else ()
    news = [each for each in messages if each.key not in known]
    if not news:
        return
    notices.write(viewer, news, now=now)
    away = own_policies.away(viewer, now)
    people = recipients.reaches(viewer, roles={Role.COORDINATOR}, now=now)
    reminding.tell(viewer, yard, [each for each in people if each.person not in away], now)


def _letter(each: endings.Ending, yard: Yard, now: datetime) -> notices.Message:
    return notices.Message(
        kind=notices.ENDING,
        person=each.person.id,
        due_at=reminding.morning(yard, now),
        about=(str(each.grant), each.until.isoformat()),
        params={"grant": str(each.grant)},
    )
