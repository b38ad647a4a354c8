"""The test client, without loading the middleware anew for each client that a test makes."""

from functools import cache
from typing import Any

from django import test
from django.test.client import ClientHandler


@cache
def _loaded(*, enforce_csrf_checks: bool) -> ClientHandler:
    """Return what answers, with its middleware; it keeps nothing of a request."""
    made = ClientHandler(enforce_csrf_checks)
    made.load_middleware()
    return made


class Client(test.Client):
    """As upstream's, for tests that change no setting which middleware reads as it is loaded.

    Loading costs a third of a short request, and tests make ten thousands of clients.
    """

    def __init__(self, enforce_csrf_checks: bool = False, **facts: Any) -> None:
        super().__init__(enforce_csrf_checks, **facts)
        self.handler = _loaded(enforce_csrf_checks=enforce_csrf_checks)
