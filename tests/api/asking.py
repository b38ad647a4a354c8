"""A client of the REST surface, for somebody in the cast. Every answer is held to the document."""

import json
from collections.abc import Mapping
from typing import TYPE_CHECKING, Any, TypeAlias

from tests import cast, photos
from tests.api import contract
from tests.clients import Client

if TYPE_CHECKING:
    from django.test.client import _MonkeyPatchedWSGIResponse

# What the test client answers: a response with ``json()``.
Answer: TypeAlias = "_MonkeyPatchedWSGIResponse"

V1 = "/api/v1/"


class Asker:
    """Asks as somebody: by token, or as nobody at all."""

    def __init__(self, key: str | None) -> None:
        self.client = Client()
        self.headers = {"Authorization": f"Token {cast.token(key)}"} if key else {}

    def send(
        self,
        method: str,
        path: str,
        body: Any = None,
        *,
        raw: bytes | None = None,
        content_type: str = "application/json",
        headers: Mapping[str, str] | None = None,
    ) -> Answer:
        """Send one request; ``raw`` instead of ``body`` is sent as it is.

        A body with bytes in it is sent as a form with files, any other as JSON.
        """
        if isinstance(body, dict) and any(isinstance(each, bytes) for each in body.values()):
            raw, content_type = photos.multipart(body)
        elif body is not None:
            raw = json.dumps(body).encode()
        path = path if path.startswith("/") else V1 + path
        response = self.client.generic(
            method,
            path,
            raw or b"",
            content_type=content_type if raw is not None else "",
            headers={**self.headers, **(headers or {})},
        )
        contract.check(method, path, response)
        return response

    def get(self, path: str, headers: Mapping[str, str] | None = None) -> Answer:
        """Read."""
        return self.send("GET", path, headers=headers)

    def post(self, path: str, body: Any, headers: Mapping[str, str] | None = None) -> Answer:
        """Make or act."""
        return self.send("POST", path, body, headers=headers)

    def patch(self, path: str, body: Any) -> Answer:
        """Change."""
        return self.send("PATCH", path, body)
