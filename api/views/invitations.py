"""Who is invited by mail."""

from uuid import UUID

from rest_framework.request import Request
from rest_framework.response import Response

from api import creating, paging
from api.base import ApiView
from api.present import invitations as present
from api.schema import describe
from api.schema.invitations import InvitationActIn, InvitationIn, InvitationShape
from yards.actions import invitations as actions
from yards.queries import invitations
from yards.rules.roles import Verb


class InvitationsView(ApiView):
    """Grants offered to e-mail addresses."""

    verb = {"get": Verb.READ_PEOPLE, "post": Verb.CHANGE_PEOPLE}
    kind = "invitations"

    @describe.lists("list_invitations", InvitationShape, summary="Invitations")
    def get(self, request: Request) -> Response:
        """Return invitations, past and present, newest first; their links are in the mail alone."""
        page = invitations.list_invitations(self.viewer, cursor=paging.cursor_of(request))
        return paging.response(request, page, lambda each: present.invitation(each, self.now))

    @describe.makes("invite", InvitationIn, InvitationShape, summary="Invite somebody")
    def post(self, request: Request) -> Response:
        """Have a letter sent with a link that opens once; the answer does not hold the link."""
        made = actions.invite(self.viewer, self.raw, now=self.now)
        found = invitations.get_invitation(self.viewer, made.ref)
        return creating.response(present.invitation(found, self.now), replayed=made.replay)


class SendAgainView(ApiView):
    """A new letter for an invitation."""

    verb = Verb.CHANGE_PEOPLE
    finder = invitations.get_invitation

    @describe.changes(
        "send_invitation", InvitationActIn, InvitationShape, summary="Send an invitation again"
    )
    def post(self, request: Request, id: UUID) -> Response:
        """Send a new link; the one before opens nothing from then on."""
        actions.send_again(self.viewer, id, self.raw, now=self.now)
        return Response(present.invitation(invitations.get_invitation(self.viewer, id), self.now))


class WithdrawView(ApiView):
    """An invitation's end."""

    verb = Verb.CHANGE_PEOPLE
    finder = invitations.get_invitation

    @describe.changes(
        "withdraw_invitation", InvitationActIn, InvitationShape, summary="Withdraw an invitation"
    )
    def post(self, request: Request, id: UUID) -> Response:
        """Let its link open nothing from now on."""
        actions.withdraw(self.viewer, id, self.raw, now=self.now)
        return Response(present.invitation(invitations.get_invitation(self.viewer, id), self.now))
