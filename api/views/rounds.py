"""Rounds: a yard taken along, what is opened after the hand, and the walking order."""

from uuid import UUID

from rest_framework.request import Request
from rest_framework.response import Response

from api.base import ApiView
from api.present import rounds as present
from api.schema import describe
from api.schema.rounds import AfterRoundShape, RoundShape, WalkIn, WalkShape
from scoring.queries import after_round, rounds
from yards.access import doors
from yards.actions import walks as actions
from yards.queries import walks
from yards.rules.roles import Verb


class RoundView(ApiView):
    """A yard's round, with all that scoring it out of reach needs."""

    verb = Verb.WALK_ROUNDS
    finder = doors.yard_for_read
    kind = "yard"

    @describe.gets("get_round", RoundShape, summary="A round to take along")
    def get(self, request: Request, id: UUID) -> Response:
        """Return the horses that are here in walking order; nothing that anchors the hand."""
        return Response(present.kit(rounds.round_kit(self.viewer, id, now=self.now)))


class AfterRoundView(ApiView):
    """What a round's scores are held against."""

    verb = Verb.WALK_ROUNDS
    finder = doors.yard_for_read
    kind = "yard"

    @describe.gets("get_after_round", AfterRoundShape, summary="What to open after the hand")
    def get(self, request: Request, id: UUID) -> Response:
        """Return last scores, bands and alerts. Show a horse's when every region has a score."""
        found = after_round.after_round(self.viewer, id, now=self.now)
        return Response({"horses": [present.after(each) for each in found]})


class WalkView(ApiView):
    """The order in which a yard's horses are walked."""

    verb = {"get": Verb.READ_HORSES, "post": Verb.WALK_ROUNDS}
    finder = doors.yard_for_read
    kind = "yard"

    @describe.gets("get_walk", WalkShape, summary="A yard's walking order")
    def get(self, request: Request, id: UUID) -> Response:
        """Return the horses that are here, those without a place last, by name."""
        return Response(present.walk(walks.get_walk(self.viewer, id)))

    @describe.changes("order_walk", WalkIn, WalkShape, summary="Set a yard's walking order")
    def post(self, request: Request, id: UUID) -> Response:
        """Set the whole order, from the version you saw; it is remembered for everybody."""
        actions.order_walk(self.viewer, id, self.raw, now=self.now)
        return Response(present.walk(walks.get_walk(self.viewer, id)))
