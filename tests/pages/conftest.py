"""A browser without a browser: Django's client, signed in as somebody of the cast."""

from collections.abc import Callable

import pytest
from django.test import Client

from tests import signing


@pytest.fixture
def signed_in(database: str) -> Callable[[str], Client]:
    """Give somebody a session; how one is come by is ``test_sign_in``'s business."""

    return signing.signed_in
