"""One's own password: the library's page, and the way to a first one for whoever has none yet."""

from allauth.account import views
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.urls import reverse


def change(request: HttpRequest) -> HttpResponse:
    """Have the password changed. Who has none gets a link by mail, as whoever forgot theirs."""
    if request.user.is_authenticated and not request.user.has_usable_password():
        return HttpResponseRedirect(reverse("account_reset_password"), status=303)
    return views.password_change(request)  # type: ignore[no-any-return]
