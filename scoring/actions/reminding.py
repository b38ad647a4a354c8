"""The morning's summary: one message a person and day at most, over all yards and horses.

It goes when something is newly due, overdue or to be watched, and on every morning on which an
alert that asks for an answer is not resolved. With nothing of these there is no mail.
"""

from collections.abc import Iterable, Mapping, Sequence
from datetime import date, datetime, timedelta

from scoring.actions import notices
from scoring.models import Alert, Notice, Standing
from scoring.queries import own_policies, recipients, reminders
from scoring.rules import ladder, risk
from yards.models import Yard
from yards.rules import daytime
from yards.rules.roles import Viewer

# Until then every yard of the zone has had its six o'clock, and one message can tell of all.
DELAY = timedelta(minutes=5)
DAY = timedelta(days=1)


def remind(viewer: Viewer, yard: Yard, standings: Sequence[Standing], *, now: datetime) -> None:
    """Write a reminder to whoever covers a horse of which something is newly due or overdue.

    What the message says is read when it goes. Standings are locked, and keep what was told.
    """
    marks = _marks(yard, standings, now)
    news = [each for each in standings if marks[each.horse_id] - set(each.reminded_due)]
    if news:
        _write(viewer, yard, [each.horse_id for each in news], now)
    changed = [each for each in standings if set(each.reminded_due) != marks[each.horse_id]]
    for each in changed:
        each.reminded_due = sorted(marks[each.horse_id])
    Standing.objects.bulk_update(changed, ["reminded_due"])


def _marks(
    yard: Yard, standings: Sequence[Standing], now: datetime
) -> Mapping[int, frozenset[str]]:
    """Return what there is to tell of each horse: due times by stage, and alerts to watch."""
    standing = Alert.objects.filter(horse_id__in=[each.horse_id for each in standings])
    standing = standing.exclude(state="resolved").exclude(rule__in=risk.LATENESS)
    today = daytime.local_date(now, yard.time_zone)
    alerts: dict[int, set[str]] = {}
    for horse, ref, severity, state in standing.values_list("horse_id", "ref", "severity", "state"):
        if severity != ladder.WATCH:
            alerts.setdefault(horse, set()).add(f"open:{ref}:{today.isoformat()}")
        elif state == ladder.OPEN:
            # What is to be watched this week is news each week.
            year, week, _ = today.isocalendar()
            alerts.setdefault(horse, set()).add(f"alert:{ref}:{year}-{week}")
    return {
        each.horse_id: frozenset(
            {item.mark for item in reminders.items_of(each, yard.time_zone, now)}
            | alerts.get(each.horse_id, set())
        )
        for each in standings
    }


def _write(viewer: Viewer, yard: Yard, horses: Sequence[int], now: datetime) -> None:
    away = own_policies.away(viewer, now)
    people = [
        reach
        for reach in recipients.reaches(viewer, roles=recipients.TOLD[recipients.REMINDER], now=now)
        if reach.person not in away
        and any(reach.covers(horse=horse, yard=yard.id) for horse in horses)
    ]
    tell(viewer, yard, people, now)


def tell(viewer: Viewer, yard: Yard, people: Sequence[recipients.Reach], now: datetime) -> None:
    """Let people have the summary of this morning, or of the next if they have had today's."""
    today = daytime.local_date(now, yard.time_zone)
    first = [_message(reach, today, morning(yard, now)) for reach in people]
    gone = _gone(viewer, first)
    # Whoever had today's message before this became news has it in tomorrow's.
    six = daytime.next_six(now, yard.time_zone)
    later = [
        _message(reach, today + DAY, _at(yard, six + DELAY))
        for reach, message in zip(people, first, strict=True)
        if message.key in gone
    ]
    notices.write(viewer, [*(each for each in first if each.key not in gone), *later], now=now)


def _message(reach: recipients.Reach, on: date, due_at: datetime) -> notices.Message:
    return notices.Message(
        kind=notices.REMINDER, person=reach.person, due_at=due_at, about=(on.isoformat(),)
    )


def morning(yard: Yard, now: datetime) -> datetime:
    """Return when what a morning tells is to go: a little later, in the yard's waking hours."""
    return _at(yard, now + DELAY)


def _at(yard: Yard, at: datetime) -> datetime:
    return daytime.next_waking(at, yard.time_zone, yard.quiet_from, yard.quiet_to)


def _gone(viewer: Viewer, messages: Iterable[notices.Message]) -> frozenset[str]:
    """Return the keys of those messages that have gone already, or are never to go."""
    keys = [each.key for each in messages]
    rows = Notice.objects.filter(
        organisation_id=viewer.organisation, key__in=keys, due_at__isnull=True
    )
    return frozenset(rows.values_list("key", flat=True))
