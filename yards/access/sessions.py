"""What a session tells: that its password was given lately, or that its account was shut since."""

import time

from allauth.account import app_settings
from allauth.account.authentication import get_authentication_records
from django.contrib.auth import HASH_SESSION_KEY, SESSION_KEY
from django.http import HttpRequest
from django.utils.crypto import constant_time_compare

from yards.models import User


def is_sure(request: HttpRequest) -> bool:
    """Return whether this session gave a password or second factor within the last minutes.

    Signing in counts as well as being asked again: both are the person's own act.
    """
    records = get_authentication_records(request, request.user)
    latest = max((float(each["at"]) for each in records), default=0.0)
    return time.time() - latest < int(app_settings.REAUTHENTICATION_TIMEOUT)


def is_shut(request: HttpRequest) -> bool:
    """Return whether this session is of a person whose account was shut since they signed in.

    To the sign-in library it is nobody's. A session of an old password is told nothing.
    """
    person = request.session.get(SESSION_KEY)
    if person is None:
        return False
    user = User.objects.filter(id=person, is_active=False).first()
    held = request.session.get(HASH_SESSION_KEY, "")
    return user is not None and constant_time_compare(held, user.get_session_auth_hash())
