"""What happens when a person signs in with their own password."""

from typing import Any

from allauth.account.adapter import DefaultAccountAdapter
from allauth.account.authentication import get_authentication_records
from django.http import HttpRequest, HttpResponse

from yards import clock
from yards.actions import grants


class AccountAdapter(DefaultAccountAdapter):  # type: ignore[misc] # allauth has no types
    """Sign-in and out only; nobody makes an account for themselves."""

    def is_open_for_signup(self, request: HttpRequest) -> bool:
        """People come in through grants that a coordinator issues."""
        return False

    def post_login(
        self, request: HttpRequest, user: Any, *args: Any, **kwargs: Any
    ) -> HttpResponse:
        """Confirm a vet's waiting grants: the vet's own sign-in is the confirmation."""
        response = super().post_login(request, user, *args, **kwargs)
        ways = {each.get("method") for each in get_authentication_records(request, user)}
        if "password" in ways:
            grants.confirm_vet_grants(user.pk, clock.now())
        return response  # type: ignore[no-any-return]
