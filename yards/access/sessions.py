"""Whether whoever is signed in gave their password lately: asked before people or rules change."""

import time

from allauth.account import app_settings
from allauth.account.authentication import get_authentication_records
from django.http import HttpRequest


def is_sure(request: HttpRequest) -> bool:
    """Return whether this session gave a password or second factor within the last minutes.

    Signing in counts as well as being asked again: both are the person's own act.
    """
    records = get_authentication_records(request, request.user)
    latest = max((float(each["at"]) for each in records), default=0.0)
    return time.time() - latest < int(app_settings.REAUTHENTICATION_TIMEOUT)
