"""The account of somebody erased: emptied by the worker once no organisation knows them any more.

Whoever erases is told nothing of it: only the worker asks, in the person's own place, and what it
finds stands in no organisation's rows.
"""

import logging
from datetime import datetime, timedelta
from uuid import UUID

from allauth.account.models import EmailAddress
from allauth.mfa.models import Authenticator
from allauth.usersessions.models import UserSession
from django.contrib.sessions.models import Session
from django.db import DatabaseError

from yards import isolation
from yards.models import Emptying, Erasure, Grant, Letter, User

logger = logging.getLogger(__name__)

AGAIN = timedelta(minutes=10)


def ask(person: UUID, *, now: datetime) -> None:
    """Have the worker look at an account, once this transaction is committed."""
    Emptying.objects.bulk_create([Emptying(id=person, due_at=now)], ignore_conflicts=True)


def settle_due(*, now: datetime, limit: int = 20) -> int:
    """Look at the accounts that are due, and return how many were emptied.

    Called by a task, with no organisation open.
    """
    due = Emptying.objects.filter(due_at__lte=now).order_by("due_at", "id")
    return sum(_tried(person, now) for person in list(due.values_list("id", flat=True)[:limit]))


def _tried(person: UUID, now: datetime) -> bool:
    """Look at one account; what fails is logged and tried later, and holds up no other."""
    try:
        return _settled(person)
    except DatabaseError:
        logger.exception("an account could not be emptied")
        Emptying.objects.filter(id=person).update(due_at=now + AGAIN)
        return False


def _settled(person: UUID) -> bool:
    """Empty one account unless an organisation still knows it by name.

    The doors show a person's own grants and erasures wherever they are. Locked, since a grant that
    is being given elsewhere points at the row and is waited for.
    """
    with isolation.door(person=person):
        row = Emptying.objects.select_for_update(skip_locked=True).filter(id=person).first()
        if row is None:
            return False
        user = User.objects.select_for_update().get(id=person)
        known = set(Grant.objects.filter(person_id=person).values_list("organisation_id"))
        forgotten = set(Erasure.objects.filter(person_id=person).values_list("organisation_id"))
        over = known <= forgotten
        if over:
            _empty(user)
        row.delete()
        return over


def _empty(user: User) -> None:
    """Take all out of an account but its key, to which the record points."""
    address = user.email
    plain = User(id=user.pk, email=f"erased:{user.pk}", created_at=user.created_at)
    plain.is_active = False
    plain.set_unusable_password()
    plain.save(force_update=True)
    keys = UserSession.objects.filter(user_id=user.pk).values_list("session_key", flat=True)
    Session.objects.filter(session_key__in=list(keys)).delete()
    UserSession.objects.filter(user_id=user.pk).delete()
    Authenticator.objects.filter(user_id=user.pk).delete()
    held = EmailAddress.objects.filter(user_id=user.pk)
    addresses = {address, *held.values_list("email", flat=True)}
    held.delete()
    Letter.objects.filter(email__in=addresses).delete()
