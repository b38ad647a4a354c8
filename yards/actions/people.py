"""People by e-mail: the same person however many organisations name them."""

from datetime import datetime
from uuid import UUID

from allauth.account.models import EmailAddress
from django.core.exceptions import ValidationError
from django.core.validators import validate_email
from django.db import IntegrityError, transaction

from yards.models import Grant, User
from yards.queries import erasing
from yards.rules.roles import Viewer


def is_address(text: str) -> bool:
    """Return whether text is an e-mail address."""
    try:
        validate_email(text)
    except ValidationError:
        return False
    return True


def find_or_make(*, email: str, name: str, now: datetime, password: str | None = None) -> User:
    """Return the person of a lower-case e-mail address; a new one has no password unless given.

    Whether there was one already is never told: a person may be known to other organisations. An
    existing person's name and password stay as they are.
    """
    found = User.objects.filter(email=email).first()
    if found is not None:
        return found
    try:
        with transaction.atomic():
            return User.objects.create_user(
                email=email,
                password=password,
                name=name or email.partition("@")[0],
                created_at=now,
            )
    except IntegrityError:
        return User.objects.get(email=email)


def is_somebody_elses(email: str, person: UUID) -> bool:
    """Return whether an address is what another person signs in by."""
    return User.objects.filter(email=email.lower()).exclude(id=person).exists()


def stand_by_address(person: UUID) -> None:
    """Let the sign-in library know that the address somebody signs in by counts.

    Whoever came before invitations was named by a coordinator and has no row of it; the library
    would take that address away as one that was never confirmed.
    """
    user = User.objects.get(id=person)
    if not EmailAddress.objects.filter(user_id=person, email=user.email, verified=True).exists():
        EmailAddress.objects.update_or_create(
            user_id=person, email=user.email, defaults={"verified": True, "primary": True}
        )


def known_here(viewer: Viewer, person: UUID | None) -> User | None:
    """Return a person who has, or had, a grant in the viewer's organisation, or None.

    An id of anybody else is unknown here, whether or not there is such a person; and so is whoever
    has been erased.
    """
    named = Grant.objects.filter(organisation_id=viewer.organisation, person=person)
    named = named.exclude(person_id__in=erasing.erasures(viewer).values("person_id"))
    return User.objects.filter(id__in=named.values("person_id")).first()
