"""Coming in by the link of an invitation: somebody new chooses a password, others sign in."""

from datetime import datetime
from typing import Any
from uuid import UUID

from allauth.account.adapter import get_adapter
from allauth.account.authentication import get_authentication_records
from allauth.account.fields import SetPasswordField
from allauth.account.internal.flows.login import perform_password_login
from allauth.account.models import Login
from django import forms
from django.contrib.auth import get_user_model
from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.urls import reverse
from django.utils.cache import patch_cache_control
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods, require_safe

from yards import clock, isolation
from yards.access import invited, viewers
from yards.actions import grants, joining
from yards.pages import frame, screen, sure
from yards.queries import invitations
from yards.rules import errors

# The digest of the link's token, so that the token itself stays out of addresses and of tables.
LINK = "invitation"


@require_safe
def arrive(request: HttpRequest, token: str) -> HttpResponse:
    """Take a link's token out of the address, and show what it offers."""
    request.session[LINK] = viewers.digest_of(token).hex()
    return HttpResponseRedirect(reverse("yards:join"), status=303)


class Newcomer(forms.Form):
    """What somebody new says of themselves."""

    own_words = True
    name = forms.CharField(label=_("Your name"), max_length=120)
    password = SetPasswordField(label=_("Choose a password"), help_text="")

    name.widget.attrs["autocomplete"] = "name"

    def clean_name(self) -> str:
        """Return the name on one line."""
        return " ".join(str(self.cleaned_data["name"]).split())


@sensitive_post_parameters("password")
@require_http_methods(("GET", "HEAD", "POST"))
def join(request: HttpRequest) -> HttpResponse:
    """Show what is offered, or accept it."""
    try:
        response = _joined(request, clock.now())
    except errors.NotFound:
        response = _nothing(request)
    except errors.Refused as refused:
        response = screen.refusal(request, refused)
    patch_cache_control(response, no_store=True, private=True)
    return response


def _joined(request: HttpRequest, now: datetime) -> HttpResponse:
    digest = request.session.get(LINK)
    if not digest:
        raise errors.NotFound
    found = invited.invited_by_link(bytes.fromhex(digest), now)
    with isolation.of(found.system, read_only=True):
        offer = invitations.offer(found.system, found.ref)
    if request.user.is_authenticated or offer.knows_password:
        return _of_known(request, found, offer, now)
    return _of_newcomer(request, found, offer, now)


def _of_newcomer(
    request: HttpRequest, found: invited.Invited, offer: invitations.Offer, now: datetime
) -> HttpResponse:
    form = Newcomer(request.POST if request.method == "POST" else None)
    # A password like the name or the address is refused.
    like = get_user_model()(email=offer.email, name=form.data.get("name", ""))
    form.fields["password"].user = like  # type: ignore[attr-defined]
    if not form.is_valid():
        status = 422 if form.is_bound else 200
        return _page(request, offer, status, form=form, is_new=True)
    said = {key: form.cleaned_data[key] for key in ("name", "password")}
    joining.join_as_new(found, **said, now=now)
    del request.session[LINK]
    return _first_sign_in(request, offer.email, said["password"], found.organisation)


def _first_sign_in(
    request: HttpRequest, email: str, password: str, organisation: UUID
) -> HttpResponse:
    """Sign them in with what they typed: by their own first sign-in a vet confirms the grant."""
    credentials = {"email": email, "password": password}
    try:
        user = get_adapter().authenticate(request, **credentials)
    except ValidationError:
        # Somebody guessed too often from here, or for this address: signing in is shut for a time.
        return HttpResponseRedirect(reverse("account_login"), status=303)
    answer = perform_password_login(request, credentials, Login(user=user))
    request.session[screen.SESSION_KEY] = str(organisation)
    return answer  # type: ignore[no-any-return]


def _of_known(
    request: HttpRequest, found: invited.Invited, offer: invitations.Offer, now: datetime
) -> HttpResponse:
    person = request.user.pk
    if not request.user.is_authenticated or person != offer.person:
        return _page(request, offer, is_stranger=request.user.is_authenticated)
    ask = sure.first(request)
    if ask is not None:
        return ask
    if request.method != "POST":
        return _page(request, offer, may_accept=True)
    joining.join_as_known(found, UUID(str(person)), now=now)
    del request.session[LINK]
    ways = {each.get("method") for each in get_authentication_records(request, request.user)}
    if "password" in ways:
        grants.confirm_vet_grants(UUID(str(person)), now)
    request.session[screen.SESSION_KEY] = str(found.organisation)
    return HttpResponseRedirect("/", status=303)


def _page(
    request: HttpRequest, offer: invitations.Offer, status: int = 200, **more: Any
) -> HttpResponse:
    label = frame.role_label(offer.role)
    shown = {"offer": offer, "role": label, "next": reverse("yards:join"), **more}
    return render(request, "yards/join.html", shown, status=status)


def _nothing(request: HttpRequest) -> HttpResponse:
    """Say the same of every link that opens nothing."""
    error = {
        "title": gettext("This link opens nothing"),
        "detail": gettext(
            "It was used, has run out, was withdrawn, or a newer one took its place. If you came "
            "in by it before, sign in. If not, ask whoever invited you to send it again."
        ),
        "messages": [],
        "back_url": reverse("account_login"),
        "back_label": gettext("Sign in"),
    }
    return render(request, "yards/error.html", {"error": error}, status=404)
