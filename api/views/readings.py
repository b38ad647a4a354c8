"""What lists of readings have in common."""

from rest_framework.request import Request

from api import filters
from api.schema import fields
from scoring.queries import wanting

PARAMETERS = (
    fields.query("horse", fields.REF),
    fields.query("yard", fields.REF),
    fields.query("from", fields.INSTANT, description="From this time on (corrected)."),
    fields.query("to", fields.INSTANT, description="Before this time (corrected)."),
    fields.query("assessor", fields.REF),
)


def wanted(request: Request) -> wanting.Wanted:
    """Return what the query string narrows a list to."""
    return wanting.Wanted(
        horse=filters.ref(request, "horse"),
        yard=filters.ref(request, "yard"),
        from_at=filters.instant(request, "from"),
        to_at=filters.instant(request, "to"),
        assessor=filters.ref(request, "assessor"),
    )
