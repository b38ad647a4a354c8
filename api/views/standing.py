"""Where a horse stands, and what falls due."""

from uuid import UUID

from drf_spectacular.types import OpenApiTypes
from rest_framework.request import Request
from rest_framework.response import Response

from api import filters
from api.base import ApiView
from api.present import standing as present
from api.schema import describe, fields
from api.schema.standing import DueListShape, StandingShape
from scoring.queries import due, standing
from yards.access import doors
from yards.rules.roles import Verb


class StandingView(ApiView):
    """One horse's standing."""

    verb = Verb.READ_STANDING
    finder = doors.horse_for_read
    kind = "horse"

    @describe.gets("get_standing", StandingShape, summary="Where an animal stands")
    def get(self, request: Request, id: UUID) -> Response:
        """Return level, rate, place, weight, and what is due."""
        found = standing.get_standing(self.viewer, id, now=self.now)
        return Response(present.standing(found))


class DueView(ApiView):
    """What is to be done."""

    verb = Verb.READ_STANDING
    kind = "due"

    @describe.gets(
        "list_due",
        DueListShape,
        fields.query("yard", fields.REF),
        fields.query("on", OpenApiTypes.DATE, description="As of the end of this day."),
        summary="What is due and overdue",
    )
    def get(self, request: Request) -> Response:
        """Return what is due or overdue, longest overdue first."""
        rows = due.list_due(
            self.viewer,
            now=self.now,
            yard=filters.ref(request, "yard"),
            on=filters.day(request, "on"),
        )
        return Response({"results": [present.due(row) for row in rows]})
