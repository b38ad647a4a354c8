"""Weighings: one, many, and corrected."""

from collections.abc import Mapping
from typing import Any
from uuid import UUID

from rest_framework.request import Request
from rest_framework.response import Response

from api import batches, creating, paging
from api.base import ApiView
from api.present import weighings as present
from api.schema import batch, describe
from api.schema.readings import WeighingCorrection, WeighingIn, WeighingShape
from api.views import readings
from scoring.access import readings as doors
from scoring.actions import weighings as actions
from scoring.queries import weighings
from yards.rules.roles import Verb


class WeighingsView(ApiView):
    """What was weighed, and how."""

    verb = {"get": Verb.READ_OWN_READINGS, "post": Verb.RECORD_READINGS}
    kind = "weighings"

    @describe.lists("list_weighings", WeighingShape, *readings.PARAMETERS, summary="Weighings")
    def get(self, request: Request) -> Response:
        """Return weighings, last received first; a device's own only."""
        page = weighings.list_weighings(
            self.viewer, readings.wanted(request), cursor=paging.cursor_of(request)
        )
        return paging.response(request, page, present.weighing)

    @describe.makes("record_weighing", WeighingIn, WeighingShape, summary="Record a weighing")
    def post(self, request: Request) -> Response:
        """Record one."""
        made = actions.record_weighing(self.viewer, self.raw, now=self.now)
        return creating.response(present.weighing(made), replayed=made.replayed)


class WeighingView(ApiView):
    """One weighing."""

    verb = Verb.READ_OWN_READINGS
    finder = doors.weighing_for_read
    kind = "weighing"

    @describe.gets("get_weighing", WeighingShape, summary="One weighing")
    def get(self, request: Request, id: UUID) -> Response:
        """Return it, with the correction that superseded it."""
        return Response(present.weighing(weighings.get_weighing(self.viewer, id)))


class WeighingCorrectView(ApiView):
    """Corrections never edit: a new weighing supersedes."""

    verb = Verb.CORRECT_READINGS
    finder = doors.weighing_for_read

    @describe.makes(
        "correct_weighing", WeighingCorrection, WeighingShape, summary="Correct a weighing"
    )
    def post(self, request: Request, id: UUID) -> Response:
        """Record the whole new content, with a reason; only the newest of a chain can be."""
        made = actions.correct_weighing(self.viewer, id, self.raw, now=self.now)
        return creating.response(present.weighing(made), replayed=made.replayed)


class WeighingBatchView(ApiView):
    """Many weighings at once, as phones bring them home."""

    verb = Verb.RECORD_READINGS
    max_body = "API_MAX_BATCH_BODY"

    @describe.changes(
        "record_weighings",
        batch.items_of(WeighingIn),
        batch.results_of(WeighingShape, "weighing"),
        summary="Record up to 500 weighings",
    )
    def post(self, request: Request) -> Response:
        """Record each by itself, and answer each, in order."""
        return batches.response(self.asked, self.viewer, self.raw, self._make, name="weighing")

    def _make(self, item: Mapping[str, Any]) -> tuple[batches.Shown, bool]:
        made = actions.record_weighing(self.viewer, item, now=self.now)
        return present.weighing(made), made.replayed
