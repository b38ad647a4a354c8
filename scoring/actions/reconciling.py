"""Looks for what was left behind, mends what can be mended, and tells.

Three things that must not be, and that no single step of the service brings about: an alert that
waits for somebody with no next step set; a message or step that a clock which ran ahead has put far
off; a message or letter that has waited for minutes. Opens one short transaction an organisation:
called by the watch alone.
"""

import logging
from dataclasses import dataclass
from datetime import datetime, timedelta

from django.db.models import Exists, F, OuterRef, Q

from scoring.actions import lives, notices, timer_rows
from scoring.models import Alert, Notice, Timer
from scoring.rules import ladder
from yards import isolation
from yards.actions import letters
from yards.rules import silence
from yards.rules.roles import Role, Viewer

logger = logging.getLogger(__name__)

# How long a message may be due and not have gone; a crash in the midst of sending takes its lease.
UNDELIVERED_AFTER = timedelta(minutes=2)
# A row that says it was made or tried later than now by more than this was so by another clock.
AHEAD = timedelta(minutes=2)
# A step is set in the transaction that opens the alert; so long only a look between two may take.
STRANDED_AFTER = timedelta(minutes=1)


@dataclass(slots=True)
class Found:
    """How many rows of each kind were found, over all organisations.

    What is mended is told once; ``undelivered`` is told for as long as it is so.
    """

    stranded: int = 0
    put_off: int = 0
    undelivered: int = 0
    failed: int = 0

    def counts(self) -> dict[str, int]:
        """Return them as a sign of life carries them."""
        return {
            silence.STRANDED: self.failed,
            silence.UNDELIVERED: self.undelivered,
            "mended": self.stranded + self.put_off,
        }


def reconcile(*, now: datetime) -> Found:
    """Go through every organisation that has anything to wait for."""
    # Letters about signing in belong to no organisation.
    letters.forget_given_up(now=now)
    found = Found(
        put_off=letters.bring_back(now=now, ahead=AHEAD),
        undelivered=letters.waiting_since(now - UNDELIVERED_AFTER),
    )
    for organisation in isolation.awaiting():
        system = Viewer(organisation=organisation, role=Role.SYSTEM, via="task")
        try:
            with isolation.of(system):
                _reconciled(system, found, now)
        except Exception:
            found.failed += 1
            logger.exception("an organisation could not be reconciled")
    return found


def _reconciled(system: Viewer, found: Found, now: datetime) -> None:
    found.put_off += _bring_back(now)
    stranded = _stranded(system, now)
    for alert in stranded:
        _set_step(system, alert, now)
    found.stranded += len(stranded)
    waits = Q(due_at__lte=now - UNDELIVERED_AFTER)
    # One that is tried again and again has a later due time each time.
    tried = Q(attempts__gt=1, created_at__lte=now - UNDELIVERED_AFTER, due_at__isnull=False)
    given_up = Q(state=notices.FAILED, created_at__gt=now - timedelta(days=7))
    found.undelivered += Notice.objects.filter(waits | tried | given_up).count()
    if found.stranded or found.put_off:
        logger.error("left behind and mended: %s", found)


def _stranded(system: Viewer, now: datetime) -> list[Alert]:
    """Return alerts that wait for somebody, with no step to come that would ask again."""
    running = Timer.objects.filter(alert_id=OuterRef("id"), due_at__isnull=False)
    climbed = [each.severity for each in lives.policies(system).values() if each.rungs]
    promised = Q(next_at__isnull=False) & ~Q(state=ladder.RESOLVED)
    waits = promised | Q(state=ladder.OPEN, severity__in=climbed)
    found = Alert.objects.filter(waits, ~Exists(running), seen_at__lte=now - STRANDED_AFTER)
    return list(found.order_by("id"))


def _set_step(system: Viewer, alert: Alert, now: datetime) -> None:
    """Set the step that is missing: at its own time, or now when that has passed."""
    about = (str(alert.ref), str(alert.version), "mended")
    at = max(alert.next_at or now, now)
    planned = timer_rows.Planned(lives.KIND_OF[alert.state], at, about, alert=alert.id)
    timer_rows.due_now(system, planned, now=now)


def _bring_back(now: datetime) -> int:
    """Bring back what a clock that ran ahead has put off by as much as it was ahead."""
    limit = now + AHEAD
    tried = Notice.objects.filter(attempted_at__gt=limit, due_at__gt=now)
    moved = tried.update(due_at=now, attempted_at=now)
    for rows in (Notice.objects, Timer.objects):
        late = rows.filter(created_at__gt=limit, due_at__gt=now)
        # Made now instead: else the next look would bring it back once more.
        moved += late.update(due_at=now + (F("due_at") - F("created_at")), created_at=now)
    return moved
