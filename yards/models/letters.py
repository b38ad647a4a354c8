"""Mail about signing in: rows that wait to be sent. The table belongs to no organisation."""

from django.db import models
from django.db.models import Q


class Letter(models.Model):
    """One message that is to go. A row is taken away when it has gone, or is never to go.

    One that was given up to somebody who signs in here is due no more, and stays for a while: so
    that it is counted.

    No row holds a key that lets anybody in: links for an invitation or a new password are made
    when the message is sent. ``organisation`` and ``about`` name an invitation, ``email`` is of
    whoever asked for a new password, whether or not there is such a person.
    """

    id = models.UUIDField(primary_key=True)
    kind = models.CharField(max_length=16)
    organisation = models.UUIDField(null=True)
    about = models.UUIDField(null=True)
    email = models.CharField(max_length=254, blank=True)
    said = models.JSONField(default=dict)
    due_at = models.DateTimeField(null=True)
    created_at = models.DateTimeField()
    attempts = models.PositiveSmallIntegerField(default=0)

    class Meta:
        indexes = [models.Index(fields=["due_at"], name="yards_letter_due")]
        constraints = [
            models.CheckConstraint(
                name="yards_letter_kind",
                condition=Q(
                    kind="invitation", organisation__isnull=False, about__isnull=False, email=""
                )
                | (Q(kind__in=["new_password", "told"], organisation__isnull=True) & ~Q(email="")),
            )
        ]

    def __str__(self) -> str:
        return f"{self.kind} {self.id}"
