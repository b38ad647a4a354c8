"""Who may come in."""

from uuid import UUID

from rest_framework.request import Request
from rest_framework.response import Response

from api import creating, paging
from api.base import ApiView
from api.present import people as present
from api.schema import describe
from api.schema.people import GrantIn, GrantShape, RevokeIn
from yards.actions import grants as actions
from yards.queries import people
from yards.rules.roles import Verb


class GrantsView(ApiView):
    """Roles given to people."""

    verb = {"get": Verb.READ_PEOPLE, "post": Verb.CHANGE_PEOPLE}
    kind = "grants"

    @describe.lists("list_grants", GrantShape, summary="Grants")
    def get(self, request: Request) -> Response:
        """Return grants, past and present, newest first."""
        page = people.list_grants(self.viewer, cursor=paging.cursor_of(request))
        return paging.response(request, page, lambda found: present.grant(found, self.now))

    @describe.makes("issue_grant", GrantIn, GrantShape, summary="Issue a grant")
    def post(self, request: Request) -> Response:
        """Let somebody in. A vet's grant counts once the vet has confirmed it by signing in."""
        made = actions.issue_grant(self.viewer, self.raw, now=self.now)
        shown = present.grant(people.get_grant(self.viewer, made.ref), self.now)
        return creating.response(shown, replayed=made.replay)


class RevokeView(ApiView):
    """A grant's end."""

    verb = Verb.CHANGE_PEOPLE
    finder = people.get_grant

    @describe.changes("revoke_grant", RevokeIn, GrantShape, summary="Revoke a grant")
    def post(self, request: Request, id: UUID) -> Response:
        """End it now, with a reason; the person's next request is refused."""
        actions.revoke_grant(self.viewer, id, self.raw, now=self.now)
        return Response(present.grant(people.get_grant(self.viewer, id), self.now))
