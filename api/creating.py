"""How a create is answered: 201, or 200 with the first answer when it is a replay."""

from rest_framework.response import Response


def response(shown: dict[str, object], *, replayed: bool) -> Response:
    """Return the answer to a create."""
    return Response(shown, status=200 if replayed else 201)
