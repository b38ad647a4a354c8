"""A second factor that is lost: taken away by whoever runs the server, and told to its person."""

from contextlib import AbstractContextManager
from datetime import datetime

from allauth.mfa.models import Authenticator
from allauth.usersessions.models import UserSession
from django.conf import settings
from django.db import transaction
from django.template import loader
from django.utils.translation import gettext as _

from yards import audit, isolation
from yards.access import viewers
from yards.actions import letters
from yards.models import User
from yards.queries import tastes
from yards.rules import errors
from yards.rules.roles import Role, Viewer

RESET = "person.factor_reset"


def reset(email: str, *, now: datetime) -> int:
    """Take away an app, keys and spare codes of somebody, and sign them out everywhere.

    A command's helper, called with no organisation open. The password stays and is asked for;
    an organisation that asks for a second factor lets them no further before they set one up. It
    is entered in each organisation that lets them in, and told to them by mail. Returns how many
    were taken away; raises NotFound where nobody signs in by this address.
    """
    user = User.objects.filter(email=email.lower()).first()
    if user is None:
        raise errors.NotFound
    taken: int = Authenticator.objects.filter(user=user).count()
    if not taken:
        return 0
    houses: list[Viewer | None] = [
        Viewer(organisation=each.id, role=Role.SYSTEM, via="command")
        for each in viewers.memberships(user.id, now)
    ]
    for viewer in houses or [None]:
        with _opened(viewer):
            _take(user, now)
            if viewer is not None:
                target = ("person", user.id)
                audit.record(viewer, verb=RESET, target=target, payload={"count": taken}, at=now)
    return taken


def _opened(viewer: Viewer | None) -> AbstractContextManager[object]:
    return transaction.atomic() if viewer is None else isolation.of(viewer)


def _take(user: User, now: datetime) -> None:
    """Do it, once: where it is done already nothing is left to take and nothing to tell."""
    if not Authenticator.objects.filter(user=user).delete()[0]:
        return
    for session in UserSession.objects.filter(user=user):
        session.end()
    with tastes.of(tastes.of_person(user)):
        told = {"name": user.name, "site": settings.SITE_URL}
        text = loader.render_to_string("yards/mail/factor_reset.txt", told)
        letters.tell(user.email, subject=_("Your second factor was reset"), text=text, now=now)
