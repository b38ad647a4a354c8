"""How a row of the matrix is sent, by whoever it is."""

import json
from typing import Any

from django.conf import settings
from django.urls import reverse
from django.utils.http import urlencode

from tests.api.asking import Answer, Asker
from tests.clients import Client
from tests.doors.matrix import Row
from tests.doors.scene import Scene

UNSAFE = ("POST", "PUT", "PATCH", "DELETE")


def path_of(row: Row, scene: Scene, **other: str) -> str:
    """The row's path, with the ids of the scene or with others in their place."""
    if row.name == "api_unknown":
        return "/api/v1/nothing/"
    # A rule, a severity, a link and a key have no id: their own names stand in the path.
    by_name = ("rule", "severity", "token", "uidb36", "key", "pk")
    kwargs = {name: each if name in by_name else scene[each] for name, each in row.ids.items()}
    return reverse(row.name, kwargs={**kwargs, **other} or None)


def body_of(row: Row, scene: Scene) -> Any:
    """The row's body; an empty object for one that sends none."""
    return row.body(scene) if row.body is not None else {}


def knock(row: Row, scene: Scene, caller: str | None, **other: str) -> Answer:
    """Send the row as somebody; with other ids in its path, where any are given."""
    return _sent(Asker(caller), row, scene, other)


def knock_in_session(row: Row, scene: Scene, caller: str, **other: str) -> Answer:
    """Send a row of the REST surface by somebody's session."""
    asker = Asker(None)
    asker.client.cookies[settings.SESSION_COOKIE_NAME] = scene.sessions[caller]
    return _sent(asker, row, scene, other)


def _sent(asker: Asker, row: Row, scene: Scene, other: dict[str, str]) -> Answer:
    path = path_of(row, scene, **other)
    if row.method == "GET":
        return asker.get(path)
    return asker.send(row.method, path, body_of(row, scene))


def knock_on_page(row: Row, scene: Scene, caller: str | None, **other: str) -> Answer:
    """Send the row as somebody with a session; the CSRF token is its own test's business."""
    client = Client()
    if caller is not None:
        client.cookies[settings.SESSION_COOKIE_NAME] = scene.sessions[caller]
    path = path_of(row, scene, **other)
    if row.method == "GET":
        return client.get(path)
    return client.generic(
        row.method,
        path,
        urlencode(body_of(row, scene), doseq=True),
        content_type="application/x-www-form-urlencoded",
    )


def told(response: Answer) -> str:
    """The answer as text, for a failure's sake."""
    try:
        return json.dumps(json.loads(response.content), indent=1)[:2000]
    except ValueError:
        return response.content.decode(errors="replace")[:500]
