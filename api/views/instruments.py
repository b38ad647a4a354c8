"""Weigh tapes and weighbridges."""

from rest_framework.request import Request
from rest_framework.response import Response

from api import creating, paging
from api.base import ApiView
from api.present import instruments as present
from api.schema import describe
from api.schema.readings import InstrumentIn, InstrumentShape
from scoring.actions import instruments as actions
from scoring.queries import instruments
from yards.rules.roles import Verb


class InstrumentsView(ApiView):
    """Each instrument by itself: two weigh tapes do not agree."""

    verb = {"get": Verb.READ_READINGS, "post": Verb.CHANGE_INSTRUMENTS}
    kind = "instruments"

    @describe.lists("list_instruments", InstrumentShape, summary="Instruments")
    def get(self, request: Request) -> Response:
        """Return instruments, newest first."""
        page = instruments.list_instruments(self.viewer, cursor=paging.cursor_of(request))
        return paging.response(request, page, present.instrument)

    @describe.makes("add_instrument", InstrumentIn, InstrumentShape, summary="Add an instrument")
    def post(self, request: Request) -> Response:
        """Add a weigh tape or weighbridge."""
        made = actions.add_instrument(self.viewer, self.raw, now=self.now)
        return creating.response(present.instrument(made), replayed=made.replayed)
