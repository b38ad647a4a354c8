"""Who asks."""

from rest_framework.request import Request
from rest_framework.response import Response

from api.base import ApiView
from api.present import people as present
from api.schema import describe
from api.schema.people import MeShape
from yards.queries import people
from yards.rules.roles import Verb


class MeView(ApiView):
    """The person or device behind the token or session."""

    verb = Verb.READ_SELF
    kind = "self"

    @describe.gets("get_me", MeShape, summary="Who am I?")
    def get(self, request: Request) -> Response:
        """Return person, organisation, role, scope and expiry."""
        return Response(present.me(people.me(self.viewer)))
