"""Mail about signing in: written as rows, sent by the worker. No row holds a key to anything.

At least once, as the outbox of alerts: a message whose fate is unknown goes again under the same
Message-ID. Rows are taken away when they have gone.
"""

import logging
import smtplib
from dataclasses import dataclass
from datetime import datetime, timedelta
from urllib.parse import urlsplit
from uuid import UUID

import uuid_utils.compat as uuid_utils
from django.conf import settings
from django.core.mail import EmailMessage
from django.db import transaction
from django.db.models import Q
from django.utils import translation

from yards.actions import letter_words
from yards.actions.post import LEASE, LONGEST_WAIT, TRIES, Clock, Ends, Post, wait_after
from yards.models import Letter, User
from yards.rules.roles import Viewer

logger = logging.getLogger(__name__)

INVITATION, NEW_PASSWORD, TOLD = letter_words.INVITATION, letter_words.NEW_PASSWORD, "told"
# Whoever asked for a new password and has no letter after so long asks again.
STALE = {NEW_PASSWORD: timedelta(hours=1)}
COUNTED = 30_000  # attempts are a small integer
# How long one that was given up is counted with those that wait: as a notice is.
GIVEN_UP_FOR = timedelta(days=7)


@dataclass(frozen=True, slots=True)
class Claimed:
    """A letter that is ours to send until the lease ends."""

    row: Letter
    attempt: int


def of_invitation(viewer: Viewer, ref: UUID, *, now: datetime) -> None:
    """Have an invitation's link sent, once this transaction is committed."""
    _write(kind=INVITATION, organisation=viewer.organisation, about=ref, now=now)


def call_off(viewer: Viewer, refs: list[UUID]) -> None:
    """Have the letters of invitations that have not gone yet never go."""
    waiting = Letter.objects.filter(kind=INVITATION, organisation=viewer.organisation)
    waiting.filter(about__in=refs).delete()


def of_new_password(email: str, *, now: datetime) -> None:
    """Have a link for a new password sent, if there is a person of this address.

    Whether there is one is not asked here, so that asking takes as long either way.
    """
    _write(kind=NEW_PASSWORD, email=email.lower(), now=now)


def tell(email: str, *, subject: str, text: str, now: datetime) -> None:
    """Have a message sent as it stands: what was changed in somebody's account.

    It is in the language that is open now.
    """
    _write(kind=TOLD, email=email, said=letter_words.said(subject, text), now=now)


def waiting_since(before: datetime) -> int:
    """Return how many letters were due by then and have not gone, or were tried in vain since.

    One that is tried again and again has a later due time each time; one that was given up, none.
    """
    tried = Q(attempts__gt=1, created_at__lte=before)
    return Letter.objects.filter(Q(due_at__lte=before) | tried).count()


def _write(*, kind: str, now: datetime, **facts: object) -> None:
    Letter.objects.create(id=uuid_utils.uuid7(), kind=kind, due_at=now, created_at=now, **facts)


def bring_back(*, now: datetime, ahead: timedelta) -> int:
    """Let letters be due now that a clock which ran ahead has made or put off; return how many.

    No letter is ever put off for longer than the longest wait.
    """
    made = Q(created_at__gt=now + ahead)
    put_off = Q(due_at__gt=now + LONGEST_WAIT + ahead)
    waiting = Letter.objects.filter(due_at__isnull=False)
    return waiting.filter(made | put_off).update(due_at=now, created_at=now)


def forget_given_up(*, now: datetime) -> None:
    """Take away what was given up and has been counted for long enough."""
    Letter.objects.filter(due_at__isnull=True, created_at__lte=now - GIVEN_UP_FOR).delete()


def deliver_due(*, now: datetime, limit: int = 50, ends: Ends = ()) -> int:
    """Send what is due by ``now``, oldest first, and return how many were taken by the server.

    Called by a task, with no organisation open. Stops at the first sign that the server is away.
    """
    due = list(Letter.objects.filter(due_at__lte=now).order_by("due_at", "id")[:limit])
    clock, taken = Clock(now), 0
    with Post() as post:
        for row in due:
            try:
                claimed = _claim(row, clock.now())
                taken += claimed is not None and _attempt(claimed, clock, post)
            except ends:
                raise
            except Exception:
                logger.exception("a letter could not be handled; it is tried again")
            if post.is_down:
                break
    return taken


def _claim(row: Letter, now: datetime) -> Claimed | None:
    """Take a due row and push it out of the others' sight for the length of a lease."""
    with transaction.atomic():
        found = (
            Letter.objects.select_for_update(skip_locked=True)
            .filter(id=row.id, due_at__lte=now)
            .first()
        )
        if found is None:
            return None
        found.attempts, found.due_at = min(found.attempts + 1, COUNTED), now + LEASE
        found.save(update_fields=["attempts", "due_at"])
        return Claimed(found, found.attempts)


def _attempt(claimed: Claimed, clock: Clock, post: Post) -> bool:
    row, now = claimed.row, clock.now()
    stale = row.kind in STALE and now > row.created_at + STALE[row.kind]
    with translation.override(settings.LANGUAGE_CODE):
        message = None if stale else _composed(row, now)
    if message is None:
        _ended(row, now)
        return False
    try:
        post.send(message)
    except (smtplib.SMTPException, OSError) as error:
        post.hang_up()
        logger.warning("mail not taken: %s", type(error).__name__)
        _put_off(claimed, clock.now())
        return False
    if row.kind == INVITATION and row.organisation is not None and row.about is not None:
        letter_words.mark_sent(row.organisation, row.about, clock.now())
    row.delete()
    return True


def _composed(row: Letter, now: datetime) -> EmailMessage | None:
    name = f"<{row.id}@{urlsplit(settings.SITE_URL).hostname or 'localhost'}>"
    if row.kind == INVITATION and row.organisation is not None and row.about is not None:
        return letter_words.invitation(row.organisation, row.about, name, now)
    if row.kind == NEW_PASSWORD:
        return letter_words.new_password(row.email, name)
    with translation.override(row.said.get("language", settings.LANGUAGE_CODE)):
        return letter_words.message(row.email, row.said["subject"], row.said["text"], name)


def _put_off(claimed: Claimed, now: datetime) -> None:
    row = claimed.row
    if claimed.attempt >= TRIES:
        logger.error("a letter (%s) is given up after %d attempts", row.kind, claimed.attempt)
        _give_up(row, now)
        return
    mine = Letter.objects.filter(id=row.id, attempts=claimed.attempt)
    mine.update(due_at=now + wait_after(claimed.attempt))


def _give_up(row: Letter, now: datetime) -> None:
    """Try no more. Of an invitation its inviter is told, of other letters the operator, by number;
    of an address by which nobody signs in, which may be mistyped, only the log."""
    if row.kind == INVITATION or not User.objects.filter(email=row.email, is_active=True).exists():
        _ended(row, now)
        return
    Letter.objects.filter(id=row.id).update(due_at=None, said={})


def _ended(row: Letter, now: datetime) -> None:
    """Take away a letter that is never to go; whoever invited by it is told if it never went."""
    told = None
    if row.organisation is not None and row.about is not None:
        # Sent again meanwhile, it is still to go.
        others = Letter.objects.filter(organisation=row.organisation, about=row.about)
        if not others.exclude(id=row.id).exists():
            told = letter_words.undelivered(row.organisation, row.about, now)
    with transaction.atomic():
        row.delete()
        if told is not None:
            email, said = told
            _write(kind=TOLD, email=email, said=said, now=now)
