"""Yards."""

from uuid import UUID

from rest_framework.request import Request
from rest_framework.response import Response

from api import creating, paging
from api.base import ApiView
from api.present import yards as present
from api.schema import describe
from api.schema.yards import YardChange, YardIn, YardShape
from yards.access import doors
from yards.actions import yards as actions
from yards.queries import yards
from yards.rules.roles import Verb


class YardsView(ApiView):
    """Places where horses stand, each with its own clock, spring and vet."""

    verb = {"get": Verb.READ_YARDS, "post": Verb.CHANGE_YARDS}
    kind = "yards"

    @describe.lists("list_yards", YardShape, summary="Yards")
    def get(self, request: Request) -> Response:
        """Return the yards in scope, newest first."""
        page = yards.list_yards(self.viewer, cursor=paging.cursor_of(request))
        return paging.response(request, page, present.yard)

    @describe.makes("make_yard", YardIn, YardShape, summary="Make a yard")
    def post(self, request: Request) -> Response:
        """Make a yard."""
        made = actions.make_yard(self.viewer, self.raw, now=self.now)
        shown = present.yard(yards.get_yard(self.viewer, made.ref))
        return creating.response(shown, replayed=made.replay)


class YardView(ApiView):
    """One yard."""

    verb = {"get": Verb.READ_YARDS, "patch": Verb.CHANGE_YARDS}
    finder = doors.yard_for_read
    kind = "yard"

    @describe.gets("get_yard", YardShape, summary="One yard")
    def get(self, request: Request, id: UUID) -> Response:
        """Return it."""
        return Response(present.yard(yards.get_yard(self.viewer, id)))

    @describe.changes("change_yard", YardChange, YardShape, summary="Change a yard")
    def patch(self, request: Request, id: UUID) -> Response:
        """Change what was sent; a changed spring is judged at once."""
        actions.change_yard(self.viewer, id, self.raw, now=self.now)
        return Response(present.yard(yards.get_yard(self.viewer, id)))
