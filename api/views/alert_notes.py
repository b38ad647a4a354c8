"""Whose an alert is, and what is said about it."""

from uuid import UUID

from rest_framework.request import Request
from rest_framework.response import Response

from api import creating
from api.base import ApiView
from api.present import alerts as present
from api.present import escalation
from api.schema import describe
from api.schema.alerts import AlertShape
from api.schema.escalation import AssignIn, CommentIn, CommentShape, CommentsShape
from scoring.access import alerts as doors
from scoring.actions import alert_notes
from scoring.queries import alert_acts
from yards.rules.roles import Verb


class AssignView(ApiView):
    """It becomes somebody's."""

    verb = Verb.ANSWER_ALERTS
    finder = doors.alert_for_read

    @describe.changes("assign_alert", AssignIn, AlertShape, summary="Make an alert somebody's")
    def post(self, request: Request, id: UUID) -> Response:
        """Give it an owner, who is told at every step; the ladder goes on until an answer."""
        return Response(present.alert(alert_notes.assign(self.viewer, id, self.raw, now=self.now)))


class CommentsView(ApiView):
    """What is said about it."""

    verb = {"get": Verb.READ_ALERTS, "post": Verb.ANSWER_ALERTS}
    finder = doors.alert_for_read
    kind = "alerts"

    @describe.gets("list_alert_comments", CommentsShape, summary="Comments on an alert")
    def get(self, request: Request, id: UUID) -> Response:
        """Return the comments, oldest first."""
        found = alert_acts.list_acts(self.viewer, id, kind="commented")
        return Response({"results": [escalation.comment(each) for each in found]})

    @describe.makes(
        "comment_alert", CommentIn, CommentShape, summary="Say something about an alert"
    )
    def post(self, request: Request, id: UUID) -> Response:
        """Say it; it changes nothing of the alert."""
        made = alert_notes.comment(self.viewer, id, self.raw, now=self.now)
        return creating.response(escalation.comment(made), replayed=made.replayed)
