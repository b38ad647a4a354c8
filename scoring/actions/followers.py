"""What changes in yards set off here, in the same transaction: called through yards' hooks."""

from datetime import datetime

from scoring.actions import episodes, judging, standing, subjects
from scoring.models import Alert, Standing
from yards.models import Horse, Yard
from yards.rules import errors
from yards.rules import horse as horse_rule
from yards.rules.errors import FieldError
from yards.rules.roles import Verb, Viewer, may


def horse_changed(viewer: Viewer, horse: Horse, now: datetime) -> None:
    """Work the standing out again: use, age, breeding, laminitis or the yard may have changed.

    From its readings where it may be a mare: she may have foaled between two of them.
    """
    held = subjects.locked(horse)
    work_out = standing.settle if horse.sex in horse_rule.MALE else standing.rebuild
    work_out(viewer, held, now)
    if horse.status == "present":
        judging.judge(viewer, held, now=now)


def horse_visited(viewer: Viewer, horse: Horse, now: datetime) -> None:
    """Count the visit as the day's look at a horse that must be looked at every day."""
    held = subjects.locked(horse)
    if held.check_days is not None:
        standing.settle(viewer, held, now)
        judging.judge(viewer, held, now=now, visited=True)


def horse_moved(viewer: Viewer, horse: Horse, now: datetime) -> None:
    """Take standing and open alerts along to the new yard, and judge by its calendar."""
    subjects.locked(horse)
    episodes.move(viewer, horse, now)
    horse_changed(viewer, horse, now)


def horse_ended(viewer: Viewer, horse: Horse, now: datetime) -> None:
    """Close the alerts of a horse that died or was rehomed.

    Raises NotAllowed when it is rehomed out of an alert that protects life, by somebody who could
    not resolve that alert: a word to that effect is the vet's, or the coordinator's with it.
    """
    subjects.locked(horse)
    is_free = horse.status == "dead" or may(viewer, Verb.RESOLVE_PROTECTED)
    if not is_free and episodes.is_protected(horse):
        raise errors.NotAllowed(FieldError("kind", "rehomed_under_alert"))
    episodes.end(viewer, horse, now)


def horse_merged(viewer: Viewer, unknown: Horse, now: datetime, identified: Horse) -> None:
    """Read the unknown animal's readings with the identified horse's from now on.

    Its open alerts go over, except where the other has an open one of the same rule.
    """
    both = Standing.objects.select_for_update(no_key=True, of=("self",)).filter(
        horse_id__in=[unknown.id, identified.id]
    )
    list(both.order_by("horse_id"))
    Horse.objects.filter(merged_into_id=unknown.id).update(merged_into=identified)
    unresolved = Alert.objects.exclude(state=episodes.RESOLVED)
    held = unresolved.filter(horse_id=identified.id).values_list("rule", flat=True)
    unresolved.filter(horse_id=unknown.id).exclude(rule__in=list(held)).update(
        horse=identified, yard_id=identified.yard_id
    )
    episodes.end(viewer, unknown, now)
    standing.rebuild(viewer, subjects.locked(identified), now)
    judging.judge(viewer, subjects.locked(identified), now=now)
    episodes.count_open(viewer, [unknown.id, identified.id])


def yard_changed(viewer: Viewer, yard: Yard, now: datetime) -> None:
    """Work out again what hangs on the yard's zone: when each horse there falls due."""
    for each in subjects.locked_in(yard, "present", "away"):
        standing.settle(viewer, each, now)
