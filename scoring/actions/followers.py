"""What changes in yards set off here, in the same transaction: called through yards' hooks."""

from datetime import datetime

from scoring.actions import episodes, judging, standing, subjects
from scoring.models import Alert, Standing
from yards.models import Horse, Yard
from yards.rules.roles import Viewer


def horse_changed(viewer: Viewer, horse: Horse, now: datetime) -> None:
    """Work the standing out again: use, age, breeding, laminitis or the yard may have changed."""
    held = subjects.locked(horse)
    standing.settle(viewer, held, now)
    if horse.status == "present":
        judging.judge(viewer, held, now=now)


def horse_moved(viewer: Viewer, horse: Horse, now: datetime) -> None:
    """Take standing and open alerts along to the new yard, and judge by its calendar."""
    subjects.locked(horse)
    episodes.move(viewer, horse, now)
    horse_changed(viewer, horse, now)


def horse_ended(viewer: Viewer, horse: Horse, now: datetime) -> None:
    """Close the alerts of a horse that died or was rehomed."""
    subjects.locked(horse)
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
    held = (
        Standing.objects.select_for_update(no_key=True, of=("self",))
        .filter(yard_id=yard.id, horse__status__in=["present", "away"])
        .select_related("horse", "horse__yard")
    )
    for each in held.order_by("horse_id"):
        standing.settle(viewer, each, now)
