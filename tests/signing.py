"""Sessions of people who signed in just now; how that is done is ``test_sign_in``'s business."""

import time

from django import test
from django.conf import settings

from tests import cast
from tests.clients import Client
from yards.models import User


def as_person(person: User) -> Client:
    """Return a client that is somebody's, whose password was given this minute."""
    client = Client()
    client.force_login(person)
    gave_password(client, time.time())
    return client


def signed_in(key: str) -> Client:
    """Return a client of somebody of the cast."""
    return as_person(User.objects.get(id=cast.ref(key)))


def session_of(client: test.Client) -> str:
    """Return the key of a client's session."""
    return client.cookies[settings.SESSION_COOKIE_NAME].value


def gave_password(client: test.Client, at: float) -> None:
    """Let a session's password have been given at an instant, in seconds since the epoch."""
    session = client.session
    session["account_authentication_methods"] = [{"method": "password", "at": at}]
    session["account_authentication_methods_user"] = session["_auth_user_id"]
    session.save()
