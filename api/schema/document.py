"""The document as a whole: OpenAPI 3.1."""

from typing import Any
from uuid import UUID

from django.conf import settings

DESCRIPTION = """\
Condition scores, weights and alerts for people responsible for horses over several yards.

**Who.** `Authorization: Token hp_…`, or a signed-in session with its CSRF token.

**Forms.** JSON. Decimals go out as strings and come in as strings or numbers; scores lie on the
half-point grid. Times go out as RFC 3339 in UTC and come in with any offset. Every creating POST
takes an optional client-made `id`: the same id with the same content is answered 200 with the first
answer, with other content 409. PATCH carries `version`; a stale one is 409. Lists are cursor-paged,
newest first.

**Refusals** are `application/problem+json` (RFC 9457); `errors` names each field and its remedy.

**How often.** 600 requests a minute for a token, or for a person's sessions together, unless
whoever runs this server set another limit; a batch of up to 500 counts as one. Beyond that 429,
with `Retry-After` in seconds.

A condition score describes fat cover. It is not a diagnosis.
"""

SETTINGS: dict[str, Any] = {
    "TITLE": "Halfpoint",
    "VERSION": "1",
    "OAS_VERSION": "3.1.0",
    "DESCRIPTION": DESCRIPTION,
    "SCHEMA_PATH_PREFIX": "/api/v1",
    "PATH_CONVERTER_OVERRIDES": {"ref": UUID},
    # Closed lists stay where they are used, so that each can be read in its place.
    "POSTPROCESSING_HOOKS": [],
    "ENUM_GENERATE_CHOICE_DESCRIPTION": False,
    "APPEND_COMPONENTS": {
        "securitySchemes": {
            "token": {
                "type": "apiKey",
                "in": "header",
                "name": "Authorization",
                "description": "`Token hp_…`: one person or device in one organisation.",
            },
            "session": {
                "type": "apiKey",
                "in": "cookie",
                "name": settings.SESSION_COOKIE_NAME,
                "description": "A signed-in session; writes also need the X-CSRFToken header.",
            },
        }
    },
    # No request may leave the host; the page's own validator would.
    "SWAGGER_UI_SETTINGS": {"deepLinking": True, "validatorUrl": None},
}
