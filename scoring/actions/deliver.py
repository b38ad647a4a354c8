"""Sends what is due in the outbox: claim, send outside any transaction, then mark.

At least once. A message whose fate is unknown (we died, or the line did, after the text had gone)
is sent again under the same Message-ID and says that it may be a repeat: a message twice is better
than silence. Any number of these may run at once, since each row is claimed by one of them.
"""

import logging
import smtplib
import time
from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from uuid import UUID

from django.core.mail import EmailMessage
from django.db import InterfaceError, OperationalError, connection

from scoring.actions import letters, notices, unheard
from scoring.models import Notice
from yards import isolation
from yards.access import viewers
from yards.actions import post as mailing
from yards.actions.post import FIRST_WAIT, LEASE, LONGEST_WAIT, REFUSED, TRIES, Clock, Ends, Post
from yards.rules import errors
from yards.rules.roles import Role, Viewer

__all__ = ["FIRST_WAIT", "LEASE", "LONGEST_WAIT", "TRIES", "deliver_due", "wait_after"]

logger = logging.getLogger(__name__)

# How often it is tried to write how a message went, and seconds in between: well within a lease.
MARKS, MARK_AGAIN_S = 12, 0.5
LONGEST_URGENT_WAIT = timedelta(minutes=5)
COUNTED = 30_000  # attempts are a small integer


@dataclass(frozen=True, slots=True)
class Claimed:
    """A notice that is ours to send until the lease ends."""

    id: int
    attempt: int
    is_urgent: bool
    letter: letters.Order


def deliver_due(*, now: datetime, limit: int = 50, ends: Ends = ()) -> int:
    """Send what is due by ``now``, oldest first, and return how many were taken by the server.

    Stops at the first sign that the server is away: the rest is due again a moment later, and what
    else the worker has to do need not wait. ``ends`` are the exceptions that end the run.
    """
    clock, taken = Clock(now), 0
    with Post() as post:
        for organisation, row in isolation.due("scoring_notice", now, limit):
            taken += _delivered(organisation, row, clock, post, ends)
            if post.is_down:
                break
    return taken


def _delivered(organisation: UUID, row: int, clock: Clock, post: Post, ends: Ends) -> bool:
    """Deliver one row; nothing that goes wrong with it may keep the others waiting."""
    system = Viewer(organisation=organisation, role=Role.SYSTEM, via="task")
    try:
        claimed = _claim(system, row, clock.now())
        return claimed is not None and _attempt(system, claimed, clock, post, ends)
    except ends:
        raise
    except Exception:
        logger.exception("a notice could not be handled; its lease runs out and it is tried again")
        return False


def _claim(system: Viewer, row: int, now: datetime) -> Claimed | None:
    """Take a due row and push it out of the others' sight for the length of a lease."""
    with isolation.of(system):
        found = (
            Notice.objects.select_for_update(skip_locked=True, of=("self",))
            .select_related("alert")
            .filter(id=row, due_at__lte=now)
            .first()
        )
        if found is None:
            return None
        if found.state == notices.ATTEMPTING:
            found.params = {**found.params, "possible_repeat": True}
        found.state = notices.ATTEMPTING
        found.attempts = min(found.attempts + 1, COUNTED)
        found.attempted_at = now
        found.due_at = now + LEASE
        found.save(update_fields=["params", "state", "attempts", "attempted_at", "due_at"])
        return Claimed(
            id=found.id,
            attempt=found.attempts,
            is_urgent=bool(found.params.get("urgent"))
            or (found.alert is not None and found.alert.severity == "urgent"),
            letter=letters.Order(
                kind=found.kind,
                person=found.person_id,
                alert=found.alert.ref if found.alert is not None else None,
                params=found.params,
                message_id=found.message_id,
            ),
        )


def _attempt(system: Viewer, claimed: Claimed, clock: Clock, post: Post, ends: Ends) -> bool:
    try:
        message = _composed(system.organisation, claimed.letter, clock.now())
    except ends:
        raise
    except Exception as error:
        logger.exception("a notice could not be put into words")
        _put_off(system, claimed, error, clock.now(), surely_not_sent=True)
        return False
    if message is None:
        _mark(system, claimed, state=notices.CALLED_OFF, due_at=None)
        with isolation.of(system):
            unheard.look(system, claimed.id, now=clock.now())
        return False
    try:
        post.send(message)
    except (smtplib.SMTPException, OSError) as error:
        post.hang_up()
        logger.warning("mail not taken: %s", type(error).__name__)
        known = isinstance(error, REFUSED)
        _put_off(system, claimed, error, clock.now(), surely_not_sent=known)
        return False
    except ends:
        raise
    except Exception as error:
        # A message that cannot be written down for the line, or an address that cannot be: none of
        # it had gone.
        post.hang_up()
        logger.exception("a notice could not be sent as it stands")
        _put_off(system, claimed, error, clock.now(), surely_not_sent=True)
        return False
    _mark(system, claimed, state=notices.SENT, due_at=None, sent_at=clock.now(), last_error="")
    return True


def _composed(organisation: UUID, order: letters.Order, now: datetime) -> EmailMessage | None:
    """Write the message as its reader may see things now; None when they may not, or need not."""
    try:
        reader = viewers.viewer_of_person(order.person, now, organisation=organisation)
    except errors.NotSignedIn:
        return None
    with isolation.of(replace(reader, via="mail"), read_only=True):
        return letters.compose(reader, order, now=now)


def wait_after(attempt: int, *, is_urgent: bool) -> timedelta:
    """Return how long to wait after a failed attempt (from 1): doubling, up to a longest wait."""
    return mailing.wait_after(attempt, LONGEST_URGENT_WAIT if is_urgent else LONGEST_WAIT)


def _put_off(
    system: Viewer, claimed: Claimed, error: Exception, now: datetime, *, surely_not_sent: bool
) -> None:
    told = f"{type(error).__name__}: {error}"[:300]
    # Urgent ones are never given up.
    if claimed.attempt >= TRIES and not claimed.is_urgent:
        logger.error("a notice is given up after %d attempts", claimed.attempt)
        _mark(system, claimed, state=notices.FAILED, due_at=None, last_error=told)
        return
    _mark(
        system,
        claimed,
        state=notices.PENDING if surely_not_sent else notices.ATTEMPTING,
        due_at=now + wait_after(claimed.attempt, is_urgent=claimed.is_urgent),
        last_error=told,
    )


def _mark(system: Viewer, claimed: Claimed, *, state: str, **facts: object) -> None:
    """Write how it went, again for a while if the database went away meanwhile: what is not written
    waits for its whole lease, and a message that was taken would go twice."""
    for left in reversed(range(MARKS)):
        try:
            _marked(system, claimed, state, facts)
            return
        except (OperationalError, InterfaceError):
            if not left:
                raise
            connection.close()
            time.sleep(MARK_AGAIN_S)


def _marked(system: Viewer, claimed: Claimed, state: str, facts: Mapping[str, object]) -> None:
    """Write it. A success always counts; a failure only while the lease is still ours."""
    with isolation.of(system):
        mine = Notice.objects.filter(id=claimed.id, state=notices.ATTEMPTING)
        if state == notices.SENT:
            mine = Notice.objects.filter(id=claimed.id)
        else:
            mine = mine.filter(attempts=claimed.attempt)
        mine.update(state=state, **facts)
