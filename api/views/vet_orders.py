"""What a vet sets for one horse: its band, and how often to look."""

from uuid import UUID

from rest_framework.request import Request
from rest_framework.response import Response

from api import creating, paging
from api.base import ApiView
from api.present import vet_orders as present
from api.schema import describe
from api.schema.vet_orders import EndVetOrderIn, VetOrderIn, VetOrderShape
from scoring.access import vet
from scoring.actions import vet_orders as actions
from scoring.queries import vet_orders
from yards.access import doors
from yards.rules.roles import Verb


class VetOrdersView(ApiView):
    """A vet's orders for a horse."""

    verb = {"get": Verb.READ_READINGS, "post": Verb.OVERRIDE_BANDS}
    finder = doors.horse_for_read
    kind = "vet_orders"

    @describe.lists("list_vet_orders", VetOrderShape, summary="A horse's vet orders")
    def get(self, request: Request, id: UUID) -> Response:
        """Return them, newest first, ended ones too."""
        page = vet_orders.list_vet_orders(self.viewer, id, cursor=paging.cursor_of(request))
        return paging.response(request, page, present.vet_order)

    @describe.makes("give_vet_order", VetOrderIn, VetOrderShape, summary="Give a vet order")
    def post(self, request: Request, id: UUID) -> Response:
        """Set the horse's band or intervals until an instant; only a vet may."""
        made = actions.give_vet_order(self.viewer, id, self.raw, now=self.now)
        return creating.response(present.vet_order(made), replayed=made.replayed)


class EndVetOrderView(ApiView):
    """An order that ends sooner than it said."""

    verb = Verb.OVERRIDE_BANDS
    finder = vet.order_for_read

    @describe.changes(
        "end_vet_order", EndVetOrderIn, VetOrderShape, summary="End a vet order early"
    )
    def post(self, request: Request, id: UUID) -> Response:
        """End an order that is in force, with a reason; only a vet may."""
        ended = actions.end_vet_order(self.viewer, id, self.raw, now=self.now)
        return Response(present.vet_order(ended))
