"""Invitations, without their links."""

from datetime import datetime

from api.present import forms, people
from yards.queries.invitations import InvitationCard
from yards.rules.roles import SIGHTS


def invitation(found: InvitationCard, now: datetime) -> dict[str, object]:
    """Return one invitation with the grant that it offers, and its state at ``now``."""
    offered = found.offered
    instants = {
        name: offered.get(name) for name in ("from", "until", "record_from", "record_until")
    }
    return {
        "id": str(found.ref),
        "email": found.email,
        "role": found.role,
        "yards": offered.get("yards", []),
        "horses": offered.get("horses", []),
        **{name: _instant(said) for name, said in instants.items()},
        **{name: offered.get(name, "") for name in ("reason", "registration_number", "register")},
        **{name: bool(offered.get(name)) for name in SIGHTS},
        "invited_by": people.person(found.inviter),
        "invited_at": forms.instant(found.invited_at),
        "expires_at": forms.instant(found.expires_at),
        "sent_at": forms.instant(found.sent_at),
        "accepted_at": forms.instant(found.accepted_at),
        "accepted_by": people.person(found.accepted_by),
        "withdrawn_at": forms.instant(found.revoked_at),
        "state": found.state(now),
    }


def _instant(told: str | None) -> str | None:
    return None if told is None else forms.instant(datetime.fromisoformat(told))
