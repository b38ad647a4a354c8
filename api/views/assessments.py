"""Assessments: one, many, and corrected."""

from collections.abc import Mapping
from typing import Any
from uuid import UUID

from rest_framework.request import Request
from rest_framework.response import Response

from api import batches, creating, paging
from api.base import ApiView
from api.present import assessments as present
from api.schema import batch, describe
from api.schema.readings import AssessmentCorrection, AssessmentIn, AssessmentShape
from api.views import readings
from scoring.access import readings as doors
from scoring.actions import assessments as actions
from scoring.queries import assessments
from yards.rules.roles import Verb


class AssessmentsView(ApiView):
    """What was felt, or seen."""

    verb = {"get": Verb.READ_OWN_READINGS, "post": Verb.RECORD_READINGS}
    kind = "assessments"

    @describe.lists(
        "list_assessments", AssessmentShape, *readings.PARAMETERS, summary="Assessments"
    )
    def get(self, request: Request) -> Response:
        """Return assessments, last received first; a device's own only."""
        page = assessments.list_assessments(
            self.viewer, readings.wanted(request), cursor=paging.cursor_of(request)
        )
        return paging.response(request, page, present.assessment)

    @describe.makes(
        "record_assessment", AssessmentIn, AssessmentShape, summary="Record an assessment"
    )
    def post(self, request: Request) -> Response:
        """Record one; answer what it comes to and what it set off."""
        made = actions.record_assessment(self.viewer, self.raw, now=self.now)
        return creating.response(present.assessment(made), replayed=made.replayed)


class AssessmentView(ApiView):
    """One assessment."""

    verb = Verb.READ_OWN_READINGS
    finder = doors.assessment_for_read
    kind = "assessment"

    @describe.gets("get_assessment", AssessmentShape, summary="One assessment")
    def get(self, request: Request, id: UUID) -> Response:
        """Return it as it was answered first, with the correction that superseded it."""
        return Response(present.assessment(assessments.get_assessment(self.viewer, id)))


class AssessmentCorrectView(ApiView):
    """Corrections never edit: a new assessment supersedes."""

    verb = Verb.CORRECT_READINGS
    finder = doors.assessment_for_read

    @describe.makes(
        "correct_assessment", AssessmentCorrection, AssessmentShape, summary="Correct an assessment"
    )
    def post(self, request: Request, id: UUID) -> Response:
        """Record the whole new content, with a reason; only the newest of a chain can be."""
        made = actions.correct_assessment(self.viewer, id, self.raw, now=self.now)
        return creating.response(present.assessment(made), replayed=made.replayed)


class AssessmentBatchView(ApiView):
    """Many assessments at once, as phones bring them home."""

    verb = Verb.RECORD_READINGS
    max_body = "API_MAX_BATCH_BODY"

    @describe.changes(
        "record_assessments",
        batch.items_of(AssessmentIn),
        batch.results_of(AssessmentShape, "assessment"),
        summary="Record up to 500 assessments",
    )
    def post(self, request: Request) -> Response:
        """Record each by itself, and answer each, in order."""
        return batches.response(self.asked, self.viewer, self.raw, self._make, name="assessment")

    def _make(self, item: Mapping[str, Any]) -> tuple[batches.Shown, bool]:
        made = actions.record_assessment(self.viewer, item, now=self.now)
        return present.assessment(made), made.replayed
