"""One's own e-mail address: the library's page, which knows the address that one signs in by."""

from allauth.account import views
from allauth.account.decorators import reauthentication_required
from django.http import HttpRequest, HttpResponse

from yards.actions import people


def email(request: HttpRequest) -> HttpResponse:
    """Show one's address, or have another confirmed; asks for the password first."""
    if request.user.is_authenticated:
        people.stand_by_address(request.user.pk)
    return _email(request)  # type: ignore[no-any-return]


_email = reauthentication_required(views.email)
