"""The outbox: messages are rows, written in the transaction that makes them due."""

import hashlib
import logging
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any
from urllib.parse import urlsplit
from uuid import UUID

import rfc8785
import uuid_utils.compat as uuid_utils
from django.conf import settings
from django.db import transaction
from django.db.models import QuerySet

from scoring.models import Notice
from scoring.queries import recipients
from yards import isolation
from yards.rules.roles import Viewer

logger = logging.getLogger(__name__)

# Hints that notices wait, filled by the deployment; the rows are the truth and beat asks anyway.
wakers: list[Callable[[], None]] = []

ALERT, SEASON = recipients.ALERT, recipients.SEASON
ESCALATION, REMINDER = recipients.ESCALATION, recipients.REMINDER
QUESTION = recipients.QUESTION
ENDING = recipients.ENDING

PENDING = "pending"
ATTEMPTING = "attempting"
SENT = "sent"
CALLED_OFF = "called_off"
FAILED = "failed"


@dataclass(frozen=True, slots=True)
class Message:
    """One message to one person. ``about`` and the person are all that makes it this message."""

    kind: str
    person: UUID
    due_at: datetime
    about: tuple[str, ...]
    alert: int | None = None
    yard: int | None = None
    params: Mapping[str, Any] = field(default_factory=dict)

    @property
    def key(self) -> str:
        """The SHA-256, in hex, of kind, subject, person and channel."""
        parts = [self.kind, *self.about, str(self.person), "mail"]
        return hashlib.sha256(rfc8785.dumps(parts)).hexdigest()


def message_id(key: str) -> str:
    """Return the Message-ID (RFC 5322) that every attempt at this message carries."""
    host = urlsplit(settings.SITE_URL).hostname or "localhost"
    return f"<{key}@[{host}]>" if ":" in host else f"<{key}@{host}>"


def write(viewer: Viewer, messages: Iterable[Message], *, now: datetime) -> None:
    """Write messages to the outbox; one that is there already is left as it stands."""
    isolation.required(viewer)
    rows = [
        Notice(
            organisation_id=viewer.organisation,
            ref=uuid_utils.uuid7(),
            key=each.key,
            kind=each.kind,
            person_id=each.person,
            alert_id=each.alert,
            yard_id=each.yard,
            params=dict(each.params),
            due_at=each.due_at,
            created_at=now,
            message_id=message_id(each.key),
        )
        for each in messages
    ]
    if not rows:
        return
    Notice.objects.bulk_create(rows, ignore_conflicts=True)
    if min(row.due_at for row in rows if row.due_at is not None) <= now:
        _wake_on_commit()


def waiting(viewer: Viewer) -> QuerySet[Notice]:
    """Return the organisation's messages that have not gone yet."""
    isolation.required(viewer)
    return Notice.objects.filter(
        organisation_id=viewer.organisation, state__in=[PENDING, ATTEMPTING], due_at__isnull=False
    )


def call_off(viewer: Viewer, alerts: Iterable[int], *kinds: str) -> None:
    """Call off what has not gone yet about these alerts, of these kinds."""
    waiting(viewer).filter(alert_id__in=list(alerts), kind__in=kinds).update(
        state=CALLED_OFF, due_at=None
    )


def _wake_on_commit() -> None:
    hooked = (hook for _sids, hook, *_rest in transaction.get_connection().run_on_commit)
    if wake not in hooked:
        transaction.on_commit(wake, robust=True)


def wake() -> None:
    """Pass the hint on. Nothing that goes wrong here may undo or delay what was committed."""
    for waker in wakers:
        try:
            waker()
        except Exception:
            logger.exception("a wake-up could not be sent; the next tick will do")
