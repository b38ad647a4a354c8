"""The edge of every page: who is there, one organisation open, refusals as pages of ours."""

import functools
import logging
from collections.abc import Callable
from contextlib import AbstractContextManager
from dataclasses import dataclass
from datetime import datetime
from typing import Any
from uuid import UUID

from django.conf import settings
from django.core.exceptions import RequestDataTooBig
from django.db import OperationalError, transaction
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.urls import reverse
from django.utils.cache import patch_cache_control
from django.utils.http import urlencode
from django.utils.translation import gettext

from yards import clock, isolation
from yards.access import sessions, viewers
from yards.actions import reading_room
from yards.pages import sure as asking
from yards.queries import tastes, wording
from yards.rules import errors
from yards.rules.roles import Verb, Viewer, may

logger = logging.getLogger(__name__)

SESSION_KEY = "organisation"
# Where somebody says in which organisation they work.
_CHOICE = "yards:organisations"
_READING = 500
_WITH_FILES = "multipart/form-data"
_SAFE = frozenset({"GET", "HEAD"})
View = Callable[..., HttpResponse]


@dataclass(frozen=True, slots=True)
class Sure:
    """Of whom the password is asked for again: who holds the verb; when sending only, or always."""

    verb: Verb
    sending_only: bool = False

    def asks(self, request: HttpRequest, viewer: Viewer) -> bool:
        """Return whether this request is one of those."""
        reads = self.sending_only and request.method in _SAFE
        return may(viewer, self.verb) and not reads


@dataclass(frozen=True, slots=True)
class Told:
    """What a page says of itself to its edge."""

    reading: str
    kind: str
    files: int
    sure: Sure | None


def screen(
    reading: str, kind: str = "list", *, files: int = 0, sure: Sure | None = None
) -> Callable[[View], View]:
    """Make a page of ``view(request, viewer, now, **ids)``.

    ``reading`` and ``kind``, what the address names, are told in an auditor's entry; ``files`` is
    how many bytes of files its form may bring. ``sure`` has the password asked for first, where
    it was not given lately, of whoever holds a verb. The page is rendered inside the open
    organisation and answered after the commit. A refusal undoes everything and is answered by
    a page that says why, or by the view with a form that keeps what was typed; nothing of a page is
    ever kept by a cache.
    """

    def decorate(view: View) -> View:
        @functools.wraps(view)
        def page(request: HttpRequest, **ids: Any) -> HttpResponse:
            if not request.user.is_authenticated and sessions.is_shut(request):
                said = wording.say("account_shut")
                # To sign out is nothing to whom the sign-in library takes for nobody.
                way = reverse("account_login"), gettext("Sign in as somebody else")
                return _slip(request, 403, gettext("Your account is shut"), said, back=way)
            if not request.user.is_authenticated:
                query = urlencode({"next": request.get_full_path()})
                return HttpResponseRedirect(f"/accounts/login/?{query}")
            with tastes.of(tastes.of_person(request.user)):
                response = _guarded(request, view, Told(reading, kind, files, sure), ids)
            patch_cache_control(response, no_store=True, private=True)
            return response

        return page

    return decorate


def _guarded(request: HttpRequest, view: View, told: Told, ids: dict[str, Any]) -> HttpResponse:
    try:
        return _answered(request, view, told, ids)
    except errors.AccessEnded as over:
        title = gettext("Your access has ended")
        way = _elsewhere(request)
        return _slip(request, 403, title, wording.say(over.said, over.params), back=way)
    except errors.NotSignedIn:
        return _slip(request, 403, *_no_grant(), back=_way_out())
    except errors.Refused as refused:
        return refusal(request, refused)
    except OperationalError as error:
        # A lock that was held too long, a database that went away: nothing was written.
        logger.warning("the database could not finish", exc_info=error)
        return busy(request)


def _answered(request: HttpRequest, view: View, told: Told, ids: dict[str, Any]) -> HttpResponse:
    now = clock.now()
    viewer = _viewer(request, now)
    if viewer.needs_second_factor:
        return HttpResponseRedirect(reverse("mfa_index") + "?why=organisation", status=303)
    if told.sure is not None and told.sure.asks(request, viewer):
        ask = asking.first(request)
        if ask is not None:
            return ask
    most = settings.API_MAX_BODY + (told.files if request.content_type == _WITH_FILES else 0)
    if int(request.META.get("CONTENT_LENGTH") or 0) > most:
        raise errors.TooLarge
    asked = request.GET.urlencode()
    named = f"{told.reading}?{asked}"[:_READING] if asked else told.reading
    with _opened(request, viewer, named, (told.kind, ids.get("id")), now):
        response = view(request, viewer, now, **ids)
        isolation.whole(response)
        if response.status_code >= 400:
            transaction.set_rollback(True)
    return response


def _viewer(request: HttpRequest, now: datetime) -> Viewer:
    """Return the signed-in person's viewer, in the session's organisation while it lasts."""
    person: UUID = request.user.pk  # type: ignore[assignment]
    held = request.session.get(SESSION_KEY)
    if held is not None:
        try:
            return viewers.viewer_of_person(
                person, now, organisation=UUID(held), looking=request.method in _SAFE
            )
        except errors.AccessEnded:
            # Said on each page until they choose another: else what ended would look like a page
            # of the other organisation on which there is nothing.
            if not _is_choosing(request):
                raise
        except errors.NotSignedIn:
            del request.session[SESSION_KEY]
    viewer = viewers.viewer_of_person(person, now, looking=request.method in _SAFE)
    if not _is_choosing(request):
        request.session[SESSION_KEY] = str(viewer.organisation)
    return viewer


def _is_choosing(request: HttpRequest) -> bool:
    """Return whether this is the page on which somebody says where they work."""
    found = request.resolver_match
    return found is not None and found.view_name == _CHOICE


def _opened(
    request: HttpRequest,
    viewer: Viewer,
    reading: str,
    target: tuple[str, UUID | None],
    now: datetime,
) -> AbstractContextManager[None]:
    if request.method in _SAFE:
        return reading_room.opened(viewer, reading=reading, target=target, at=now)
    return isolation.of(viewer)


def busy(request: HttpRequest) -> HttpResponse:
    """Answer what the database could not finish in time."""
    detail = gettext(
        "We could not finish this just now, and nothing was written. Go back and send it again."
    )
    response = _slip(request, 503, gettext("Busy"), detail, back=_again(request))
    response["Retry-After"] = "1"
    return response


def _way_out() -> tuple[str, str]:
    """Return where somebody may go to whom no page of an organisation is open."""
    return reverse("account_logout"), gettext("Sign out")


def _elsewhere(request: HttpRequest) -> tuple[str, str]:
    """Return where whoever lost one organisation goes on: another that lets them in, or out."""
    person: UUID = request.user.pk  # type: ignore[assignment]
    if viewers.memberships(person, clock.now()):
        return reverse(_CHOICE), gettext("Work in another organisation")
    return _way_out()


def _again(request: HttpRequest) -> tuple[str, str]:
    """Return the page itself, to be asked for once more; a form is not sent again by a link."""
    safe = request.method in _SAFE
    return (request.get_full_path(), gettext("Try again")) if safe else ("", "")


def _no_grant() -> tuple[str, str]:
    return (
        gettext("Nothing is open to you now"),
        gettext(
            "You are signed in, but no organisation has a grant for you that is in force. Ask the "
            "coordinator who invited you."
        ),
    )


def refusal(request: HttpRequest, refused: errors.Refused) -> HttpResponse:
    """Return the page that says why something was refused, and that nothing was changed."""
    titles = {
        403: gettext("Your role does not allow this"),
        404: gettext("Not found"),
        409: gettext("Changed meanwhile"),
        413: gettext("Too large"),
    }
    title = titles.get(refused.status, gettext("This could not be done"))
    messages = [wording.say(each.key, each.params) for each in refused.errors]
    return _slip(request, refused.status, title, wording.say(refused.key), messages=messages)


def _slip(
    request: HttpRequest,
    status: int,
    title: str,
    detail: str,
    *,
    messages: list[str] | None = None,
    back: tuple[str, str] = ("", ""),
) -> HttpResponse:
    url, label = back
    error = {
        "back_url": url,
        "back_label": label,
        "title": title,
        "detail": detail,
        "messages": messages or [],
        "request_id": request.META.get("HALFPOINT_REQUEST_ID", ""),
    }
    return render(request, "yards/error.html", {"error": error}, status=status)


def bad_request(request: HttpRequest, exception: Exception | None = None) -> HttpResponse:
    """Answer what cannot be read at all."""
    if isinstance(exception, RequestDataTooBig):
        return refusal(request, errors.TooLarge())
    detail = gettext("Your browser sent something that cannot be read. Nothing has been changed.")
    return _slip(request, 400, gettext("This could not be read"), detail)


def forbidden(request: HttpRequest, exception: Exception | None = None) -> HttpResponse:
    """Answer what a role does not allow."""
    return refusal(request, errors.NotAllowed())


def csrf_failed(request: HttpRequest, reason: str = "") -> HttpResponse:
    """Answer a form that did not come from our own page, or whose session ended."""
    detail = gettext(
        "This form is too old, or cookies are off. Nothing has been changed. Go back, load the "
        "page again and send it once more."
    )
    return _slip(request, 403, gettext("Please send this again"), detail)


def not_found(request: HttpRequest, exception: Exception | None = None) -> HttpResponse:
    """Answer an address that leads nowhere."""
    return refusal(request, errors.NotFound())


def failed(request: HttpRequest) -> HttpResponse:
    """Answer our own fault."""
    detail = gettext("The fault is ours. Nothing has been changed. Try again in a minute.")
    title = gettext("Something went wrong here")
    return _slip(request, 500, title, detail, back=_again(request))
