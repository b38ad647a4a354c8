"""What the REST surface itself says. Everything else is said by the packages that refuse it."""

from collections.abc import Mapping

from django.utils.translation import gettext as _

from scoring.queries import wording


def _own() -> dict[str, str]:
    return {
        "body_unreadable": _("The body broke off while it was sent. Send it again."),
        "busy": _("We could not finish this just now, and nothing was written. Send it again."),
        "csrf_token": _("Send the CSRF token of your session in the X-CSRFToken header."),
        "method_not_allowed": _("This path does not take that method. See the Allow header."),
        "form_unreadable": _("This form cannot be read. Send multipart/form-data, whole."),
        "not_json": _("Send JSON, with the header Content-Type: application/json."),
        "not_multipart": _("Send a form with the photo in it, as multipart/form-data."),
        "other_organisation": _(
            "You are working in another organisation than this header names. Change to it first."
        ),
        "other_person": _("Somebody else is signed in than this header names. Sign in as them."),
        "throttled": _(
            "Too many requests. Wait as many seconds as the Retry-After header says; up to 500 "
            "readings fit into one batch, which counts as one request."
        ),
        "body_too_large": _("Send at most {limit_kib} KiB at once."),
        "unexpected": _("Something went wrong on our side, and nothing was written."),
    }


def say(key: str, params: Mapping[str, str | int] | None = None) -> str:
    """Return a message in the reader's language."""
    own = _own().get(key)
    return wording.say(key, params or {}) if own is None else own.format(**(params or {}))
