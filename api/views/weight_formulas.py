"""Weight formulas: the list, and what one makes of measures."""

from rest_framework.request import Request
from rest_framework.response import Response

from api.base import ApiView
from api.present import weight_formulas as present
from api.schema import describe
from api.schema.weight_formulas import EstimateIn, EstimateShape, FormulasShape
from scoring.queries import weight_formulas
from yards.rules.roles import Verb


class WeightFormulasView(ApiView):
    """Which formulas there are, for whom, and how each measure is taken."""

    verb = Verb.READ_OWN_READINGS
    kind = "weight_formulas"

    @describe.gets("list_weight_formulas", FormulasShape, summary="Weight formulas")
    def get(self, request: Request) -> Response:
        """Return all of them."""
        found = weight_formulas.list_formulas(self.viewer)
        return Response({"results": [present.formula(each) for each in found]})


class EstimateView(ApiView):
    """A question: nothing is stored."""

    verb = Verb.RECORD_READINGS

    @describe.changes(
        "estimate_weight", EstimateIn, EstimateShape, summary="What a formula makes of measures"
    )
    def post(self, request: Request) -> Response:
        """Return the weight with its likely error, and always the caution."""
        found = weight_formulas.estimate(self.viewer, self.raw, now=self.now)
        return Response(present.estimate(found))
