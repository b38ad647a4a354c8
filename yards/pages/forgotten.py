"""A forgotten password: the same answer, as quickly, whether or not there is such a person."""

from typing import Any

from allauth.account.forms import ResetPasswordForm
from django.http import HttpRequest

from yards import clock
from yards.actions import letters


class Forgotten(ResetPasswordForm):  # type: ignore[misc] # allauth has no types
    """Takes an address and looks nobody up: the worker does, when it writes the letter."""

    def clean_email(self) -> str:
        """Return the address as it is kept."""
        return str(self.cleaned_data["email"]).lower()

    def save(self, request: HttpRequest, **_facts: Any) -> str:
        """Have a letter sent, if there is somebody to get it."""
        email = str(self.cleaned_data["email"])
        letters.of_new_password(email, now=clock.now())
        return email
