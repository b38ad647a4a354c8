"""One measure of an animal over time."""

from uuid import UUID

from rest_framework.request import Request
from rest_framework.response import Response

from api import filters
from api.base import ApiView
from api.present import trend as present
from api.schema import describe, fields
from api.schema.trend import TrendShape
from scoring.queries import trend
from yards.access import doors
from yards.rules.roles import Verb


class TrendView(ApiView):
    """How one measure of one animal went."""

    verb = Verb.READ_STANDING
    finder = doors.horse_for_read
    kind = "horse"

    @describe.gets(
        "get_trend",
        TrendShape,
        fields.query("measure", enum=list(trend.MEASURES)),
        fields.query("from", fields.INSTANT, description="Two years back, if left out."),
        fields.query("to", fields.INSTANT, description="Now, if left out."),
        summary="How an animal's score, weight, girth or crest went",
    )
    def get(self, request: Request, id: UUID) -> Response:
        """Return points, the smoothed line with intervals, rate, band and forecast."""
        found = trend.get_trend(
            self.viewer,
            id,
            measure=filters.choice(request, "measure", trend.MEASURES) or trend.SCORE,
            since=filters.instant(request, "from"),
            until=filters.instant(request, "to"),
            now=self.now,
        )
        return Response(present.trend(found))
