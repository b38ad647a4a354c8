"""Who is asking: a token, or a signed-in person's session with its CSRF token."""

from dataclasses import replace
from datetime import datetime
from uuid import UUID

from django.http import HttpRequest, HttpResponse, QueryDict
from rest_framework.authentication import CSRFCheck

from yards.access import sessions, viewers
from yards.rules import errors
from yards.rules.errors import FieldError
from yards.rules.roles import Viewer

HEADER = "Halfpoint-Organisation"
# On a phone that several people share, what one of them recorded is never sent as another's.
PERSON = "Halfpoint-Person"
SESSION_KEY = "organisation"
SAFE = frozenset({"GET", "HEAD", "OPTIONS", "TRACE"})


def viewer_of(request: HttpRequest, now: datetime) -> Viewer:
    """Return who asks, by token when one is presented, else by session.

    Raises NotSignedIn; NotAllowed for a session's write without its CSRF token; Conflict when the
    client means another organisation than the one it would write to, or another person.
    """
    presented = request.headers.get("Authorization")
    if presented is not None:
        viewer = viewers.viewer_of_token(_token(presented), now)
    else:
        viewer = _of_session(request, now)
    meant = request.headers.get(HEADER)
    if meant is not None and meant.strip().lower() != str(viewer.organisation):
        raise errors.Conflict(FieldError(HEADER, "other_organisation"))
    named = request.headers.get(PERSON)
    if named is not None and named.strip().lower() != str(viewer.person):
        raise errors.Conflict(FieldError(PERSON, "other_person"))
    return viewer


def _token(presented: str) -> str:
    scheme, _, raw = presented.strip().partition(" ")
    if scheme.lower() != "token" or not raw.strip():
        raise errors.NotSignedIn
    return raw.strip()


def _of_session(request: HttpRequest, now: datetime) -> Viewer:
    user = getattr(request, "user", None)
    if user is None or not user.is_authenticated:
        if sessions.is_shut(request):
            raise errors.AccessEnded("account_shut", {})
        raise errors.NotSignedIn
    chosen = request.session.get(SESSION_KEY)
    organisation = UUID(chosen) if chosen else None
    viewer = viewers.viewer_of_person(
        user.pk, now, organisation=organisation, looking=request.method in SAFE
    )
    if viewer.needs_second_factor:
        # As if nobody were signed in, so that a phone keeps what it holds until they are.
        raise errors.NotSignedIn(FieldError("", "second_factor_needed"))
    if request.method not in SAFE:
        _require_csrf(request)
    return replace(viewer, via="api")


def require_sure(request: HttpRequest, viewer: Viewer) -> None:
    """Raise NotAllowed for a session whose password was not given lately; a token has none."""
    if viewer.token is None and not sessions.is_sure(request):
        raise errors.NotAllowed(FieldError("", "password_asked_again"))


def _require_csrf(request: HttpRequest) -> None:
    # The token comes in its header. Looked for in the body, it would have an upload read here, of
    # any length, before anybody has asked how long it may be.
    request.POST = QueryDict()
    check = CSRFCheck(_unused)
    check.process_request(request)
    if check.process_view(request, _unused, (), {}):
        raise errors.NotAllowed(FieldError("X-CSRFToken", "csrf_token"))


def _unused(_request: HttpRequest) -> HttpResponse:
    raise RuntimeError("the check calls no view")
