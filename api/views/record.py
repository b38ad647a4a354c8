"""The ledger, first course: its entries."""

from rest_framework.request import Request
from rest_framework.response import Response

from api import filters, paging
from api.base import ApiView
from api.present import record as present
from api.schema import describe, fields
from api.schema.record import EntryShape
from yards.queries import ledger
from yards.rules.roles import Verb


class EntriesView(ApiView):
    """What was done, by whom and when."""

    verb = Verb.READ_LEDGER
    kind = "ledger"

    @describe.lists(
        "list_entries",
        EntryShape,
        fields.query("target", fields.REF, description="Only entries about this id."),
        fields.query("verb"),
        summary="Entries of the ledger",
    )
    def get(self, request: Request) -> Response:
        """Return entries, newest first."""
        page = ledger.list_entries(
            self.viewer,
            target=filters.ref(request, "target"),
            verb=filters.text(request, "verb") or None,
            cursor=paging.cursor_of(request),
        )
        return paging.response(request, page, present.entry)
