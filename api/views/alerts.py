"""Alerts: read and answered."""

from uuid import UUID

from rest_framework.request import Request
from rest_framework.response import Response

from api import filters, paging
from api.base import ApiView
from api.present import alerts as present
from api.schema import choices, describe, fields
from api.schema.alerts import AcknowledgeIn, AlertShape, ResolveIn, SnoozeIn
from scoring.access import alerts as doors
from scoring.actions import alerts as actions
from scoring.queries import alerts
from yards.rules.roles import Verb


class AlertsView(ApiView):
    """What people were told to look at."""

    verb = Verb.READ_ALERTS
    kind = "alerts"

    @describe.lists(
        "list_alerts",
        AlertShape,
        fields.query("state", enum=choices.ALERT_STATES),
        fields.query("severity", enum=choices.SEVERITIES),
        fields.query("yard", fields.REF, description="Where the horse stands now."),
        fields.query("horse", fields.REF),
        summary="Alerts",
    )
    def get(self, request: Request) -> Response:
        """Return alerts, newest first."""
        wanted = alerts.Wanted(
            state=filters.choice(request, "state", choices.ALERT_STATES),
            severity=filters.choice(request, "severity", choices.SEVERITIES),
            yard=filters.ref(request, "yard"),
            horse=filters.ref(request, "horse"),
        )
        page = alerts.list_alerts(self.viewer, wanted, cursor=paging.cursor_of(request))
        return paging.response(request, page, present.alert)


class AcknowledgeView(ApiView):
    """Somebody takes it on."""

    verb = Verb.ANSWER_ALERTS
    finder = doors.alert_for_read

    @describe.changes(
        "acknowledge_alert", AcknowledgeIn, AlertShape, summary="Acknowledge an alert"
    )
    def post(self, request: Request, id: UUID) -> Response:
        """Record the next step and by when; it opens again if nothing follows."""
        answered = actions.acknowledge(self.viewer, id, self.raw, now=self.now)
        return Response(present.alert(answered))


class ResolveView(ApiView):
    """Somebody says that it is over."""

    verb = Verb.ANSWER_ALERTS
    finder = doors.alert_for_read

    @describe.changes("resolve_alert", ResolveIn, AlertShape, summary="Resolve an alert")
    def post(self, request: Request, id: UUID) -> Response:
        """Close it with a reason. One that protects life needs a vet, or the vet's words."""
        answered = actions.resolve(self.viewer, id, self.raw, now=self.now)
        return Response(present.alert(answered))


class SnoozeView(ApiView):
    """Somebody puts it off."""

    verb = Verb.ANSWER_ALERTS
    finder = doors.alert_for_read

    @describe.changes("snooze_alert", SnoozeIn, AlertShape, summary="Snooze an alert")
    def post(self, request: Request, id: UUID) -> Response:
        """Put it off until a time, with a reason; then people are told again."""
        answered = actions.snooze(self.viewer, id, self.raw, now=self.now)
        return Response(present.alert(answered))
