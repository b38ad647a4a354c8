"""Where somebody came from: the page of ours that a form leads back to.

An address may ask for a way back. It is followed only where it is a page of the list below, on this
host: nobody is led elsewhere by a link that a stranger made.
"""

from collections.abc import Callable, Mapping
from urllib.parse import urlencode, urlsplit

from django.http import HttpRequest
from django.urls import Resolver404, resolve
from django.utils.http import url_has_allowed_host_and_scheme
from django.utils.translation import gettext

BACK = "back"
_LONGEST = 500
_PAGES: Mapping[str, Callable[[], str]] = {
    "scoring:visit": lambda: gettext("Back to the visit"),
    "scoring:alert": lambda: gettext("Back to the alert"),
}


def back(request: HttpRequest, usual: tuple[str, str]) -> tuple[str, str]:
    """Return the page that a form was asked for from, with its words; else the usual one."""
    asked = request.GET.get(BACK, "")
    words = _PAGES.get(_page(asked))
    return (asked, words()) if words is not None else usual


def _page(asked: str) -> str:
    """Return the name of the page of ours that an address is of, empty for any other."""
    fits = asked.startswith("/") and len(asked) <= _LONGEST
    if not fits or not url_has_allowed_host_and_scheme(asked, allowed_hosts=None):
        return ""
    try:
        return resolve(urlsplit(asked).path).view_name
    except (Resolver404, ValueError):
        return ""


def linked(href: str, way_back: str) -> str:
    """Return a form's address from which it leads back to a page, if one is named."""
    return f"{href}?{urlencode({BACK: way_back})}" if way_back else href
