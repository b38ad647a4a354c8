"""Where the password is asked for again, before people, tokens or rules are changed."""

from allauth.account.adapter import get_adapter
from allauth.account.internal.flows.reauthentication import STATE_SESSION_KEY
from allauth.core.internal.httpkit import serialize_request
from django.contrib.auth import REDIRECT_FIELD_NAME
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.urls import reverse
from django.utils.http import urlencode

from yards.access import sessions


def first(request: HttpRequest) -> HttpResponse | None:
    """Return where the password is asked for, or None where it was given lately.

    Nothing that was typed is lost: a form that was sent is kept in the session and taken up again
    once the password is given.
    """
    if sessions.is_sure(request):
        return None
    ways = get_adapter().get_reauthentication_methods(request.user)
    where = ways[0]["url"] if ways else reverse("account_login")
    after = request.get_full_path()
    if request.method == "POST":
        request.session[STATE_SESSION_KEY] = {"request": serialize_request(request)}
        after = request.path  # its query is kept with the form
    return HttpResponseRedirect(f"{where}?{urlencode({REDIRECT_FIELD_NAME: after})}", status=303)
