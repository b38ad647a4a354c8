"""Which grants let somebody in: asked at the door, of who is told, and of who can see what."""

from datetime import datetime

from django.db.models import Q

from yards.rules.roles import Role


def in_force_at(now: datetime) -> Q:
    """Return the condition that a grant has begun, has not ended and was not revoked.

    A vet's counts from the vet's own confirmation on.
    """
    return Q(
        Q(until_at__isnull=True) | Q(until_at__gt=now),
        from_at__lte=now,
        revoked_at__isnull=True,
    ) & ~Q(role=Role.VET, confirmed_at__isnull=True)
