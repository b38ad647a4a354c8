"""What happens when a person signs in with their own password, and the letters about it."""

from typing import Any

from allauth.account.adapter import DefaultAccountAdapter
from allauth.account.authentication import get_authentication_records
from django.conf import settings
from django.http import HttpRequest, HttpResponse
from django.urls import reverse

from yards import clock
from yards.access import sessions
from yards.actions import grants, letters, people
from yards.queries import tastes


class AccountAdapter(DefaultAccountAdapter):  # type: ignore[misc] # allauth has no types
    """Sign-in and out only; nobody makes an account for themselves."""

    def is_open_for_signup(self, request: HttpRequest) -> bool:
        """People come in through grants that a coordinator issues."""
        return False

    def send_mail(self, template_prefix: str, email: str, context: dict[str, Any]) -> None:
        """Have a letter sent by the worker, so that a mail server that is away stops nobody."""
        with tastes.of(tastes.of_address(email.lower())):
            told = self.render_mail(template_prefix, email, {**context, "site": settings.SITE_URL})
            letters.tell(email, subject=str(told.subject), text=str(told.body), now=clock.now())

    def get_email_confirmation_url(self, request: HttpRequest, emailconfirmation: Any) -> str:
        """Return the link at our own address, whatever host the request named."""
        where = reverse("account_confirm_email", args=[emailconfirmation.key])
        return f"{settings.SITE_URL}{where}"

    def send_confirmation_mail(
        self, request: HttpRequest, emailconfirmation: Any, signup: bool
    ) -> None:
        """Write to no address that is another's; whoever asked for it sees the same as others."""
        address = emailconfirmation.email_address
        if not people.is_somebody_elses(address.email, address.user_id):
            super().send_confirmation_mail(request, emailconfirmation, signup)

    def confirm_email(self, request: HttpRequest, email_address: Any) -> bool:
        """Let an address count, unless it has become another's meanwhile."""
        if people.is_somebody_elses(email_address.email, email_address.user_id):
            return False
        return bool(super().confirm_email(request, email_address))

    def send_account_already_exists_mail(self, email: str) -> None:
        """Send nothing: whoever asks for an address that is taken hears no more than others."""

    def is_reauthentication_required(self, *, app: str, **kwargs: Any) -> bool:
        """Ask for the password again where it was not given lately; signing in counts."""
        return not sessions.is_sure(self.request)

    def post_login(
        self, request: HttpRequest, user: Any, *args: Any, **kwargs: Any
    ) -> HttpResponse:
        """Confirm a vet's waiting grants: the vet's own sign-in is the confirmation."""
        response = super().post_login(request, user, *args, **kwargs)
        ways = {each.get("method") for each in get_authentication_records(request, user)}
        if "password" in ways:
            grants.confirm_vet_grants(user.pk, clock.now())
        return response  # type: ignore[no-any-return]
