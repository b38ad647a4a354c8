"""What happens to a horse besides readings."""

from uuid import UUID

from rest_framework.request import Request
from rest_framework.response import Response

from api import creating, paging
from api.base import ApiView
from api.present import horses as present
from api.schema import describe
from api.schema.horses import EventIn, EventShape
from yards.access import doors
from yards.actions import events as actions
from yards.queries import events
from yards.rules.roles import Verb


class EventsView(ApiView):
    """Covered, foaled, weaned, clipped, died."""

    verb = {"get": Verb.READ_HORSES, "post": Verb.RECORD_EVENTS}
    finder = doors.horse_for_read
    kind = "horse"

    @describe.lists("list_events", EventShape, summary="An animal's events")
    def get(self, request: Request, id: UUID) -> Response:
        """Return its events, last recorded first."""
        page = events.list_events(self.viewer, id, cursor=paging.cursor_of(request))
        return paging.response(request, page, present.event)

    @describe.makes("record_event", EventIn, EventShape, summary="Record an event")
    def post(self, request: Request, id: UUID) -> Response:
        """Record what happened, and what it changes in the animal's facts."""
        made = actions.record_event(self.viewer, id, self.raw, now=self.now)
        shown = present.event(events.get_event(self.viewer, id, made.ref))
        return creating.response(shown, replayed=made.replay)
