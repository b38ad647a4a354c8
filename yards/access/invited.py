"""From a presented link to the invitation it is of, as allowed at this moment."""

from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from yards import isolation
from yards.models import Invitation
from yards.rules import errors
from yards.rules.roles import Role, Viewer


@dataclass(frozen=True, slots=True)
class Invited:
    """An invitation that its link opens now: where it is kept, and who sent it."""

    organisation: UUID
    ref: UUID
    email: str
    inviter: UUID

    @property
    def system(self) -> Viewer:
        """The service itself in that organisation, which may show what is offered."""
        return Viewer(organisation=self.organisation, role=Role.SYSTEM, via="page")


def invited_by_link(digest: bytes, now: datetime) -> Invited:
    """Return the invitation whose link's token has this SHA-256 digest.

    Raises NotFound for a link that is unknown, used, withdrawn, replaced or over: all alike.
    """
    with isolation.door(token_digest=digest):
        found = Invitation.objects.filter(
            digest=digest, accepted_at__isnull=True, revoked_at__isnull=True, expires_at__gt=now
        ).first()
    if found is None:
        raise errors.NotFound
    return Invited(found.organisation_id, found.ref, found.email, found.invited_by_id)
