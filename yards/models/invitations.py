"""Invitations: a grant that waits for somebody to come in by a link in their mail."""

from django.conf import settings
from django.db import models
from django.db.models import F, Q

from yards.models.base import Owned
from yards.models.grants import Grant
from yards.rules.invitation import LASTS_HOURS


class Invitation(Owned):
    """A grant that is offered to an e-mail address. It becomes an ordinary grant when accepted.

    Of the link's token only the SHA-256 digest is kept, and only while the link opens anything:
    a new link takes the place of the one before. ``body`` is the grant as the contract has it,
    without the person.
    """

    email = models.EmailField(max_length=254)
    role = models.CharField(max_length=16)
    body = models.JSONField()
    invited_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+"
    )
    invited_at = models.DateTimeField()
    # For how many hours each of its links opens, unless the grant ends before.
    hours = models.PositiveSmallIntegerField(db_default=LASTS_HOURS, default=LASTS_HOURS)
    digest = models.BinaryField(max_length=32, null=True, unique=True)
    # Which link this is: 1 for the first, one more each time it is sent anew.
    link = models.PositiveSmallIntegerField(default=1)
    expires_at = models.DateTimeField()
    sent_at = models.DateTimeField(null=True)
    accepted_at = models.DateTimeField(null=True)
    accepted_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, on_delete=models.PROTECT, related_name="+"
    )
    grant = models.ForeignKey(
        Grant,
        null=True,
        on_delete=models.PROTECT,
        db_constraint=False,
        db_index=False,
        related_name="+",
    )
    revoked_at = models.DateTimeField(null=True)
    revoked_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, on_delete=models.PROTECT, related_name="+"
    )

    class Meta(Owned.Meta):
        constraints = [
            *Owned.Meta.constraints,
            models.CheckConstraint(
                name="yards_invitation_role",
                condition=Q(role__in=["coordinator", "assessor", "vet", "auditor"]),
            ),
            models.CheckConstraint(
                name="yards_invitation_ends_after_it_begins",
                condition=Q(expires_at__gt=F("invited_at")),
            ),
            models.CheckConstraint(
                name="yards_invitation_accepted_or_revoked",
                condition=Q(accepted_at__isnull=True) | Q(revoked_at__isnull=True),
            ),
            models.CheckConstraint(
                name="yards_invitation_accepted_by_somebody",
                condition=Q(accepted_at__isnull=True, accepted_by__isnull=True, grant__isnull=True)
                | Q(accepted_at__isnull=False, accepted_by__isnull=False, grant__isnull=False),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.role} {self.ref}"
