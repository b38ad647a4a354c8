"""Danger signs seen with no score at all."""

from uuid import UUID

from rest_framework.request import Request
from rest_framework.response import Response

from api import creating
from api.base import ApiView
from api.present import concerns as present
from api.schema import describe
from api.schema.concerns import ConcernIn, ConcernShape
from scoring.actions import concerns as actions
from yards.access import doors
from yards.rules.roles import Verb


class ConcernsView(ApiView):
    """Something seen that cannot wait for a score."""

    verb = Verb.RECORD_READINGS
    finder = doors.horse_for_read

    @describe.makes("record_concern", ConcernIn, ConcernShape, summary="Record a concern")
    def post(self, request: Request, id: UUID) -> Response:
        """Record it; danger signs alert at once."""
        made = actions.record_concern(self.viewer, id, self.raw, now=self.now)
        return creating.response(present.concern(made), replayed=made.replayed)
