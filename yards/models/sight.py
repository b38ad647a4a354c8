"""Who may see a horse when not everybody may, and who saw in need what was closed to them."""

from datetime import timedelta

from django.conf import settings
from django.db import models
from django.db.models import F, Q

from yards.models.base import Owned
from yards.models.horses import Horse

# As ``yards.rules.glass.MOST``; the database holds it too.
GLASS_MOST = timedelta(hours=1)


class Restriction(Owned):
    """A horse that only named people may know of, for a reason: a seizure, a case in court.

    Whom it names never changes: another list is another restriction, and this one is lifted.
    """

    horse = models.ForeignKey(
        Horse, on_delete=models.PROTECT, db_constraint=False, db_index=False, related_name="+"
    )
    reason = models.CharField(max_length=300)
    made_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+"
    )
    made_at = models.DateTimeField()
    lifted_at = models.DateTimeField(null=True)
    lifted_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, on_delete=models.PROTECT, related_name="+"
    )

    class Meta(Owned.Meta):
        constraints = [
            *Owned.Meta.constraints,
            models.UniqueConstraint(
                fields=["organisation", "horse"],
                condition=Q(lifted_at__isnull=True),
                name="yards_restriction_once",
            ),
            models.CheckConstraint(name="yards_restriction_says_why", condition=~Q(reason="")),
            models.CheckConstraint(
                name="yards_restriction_lifted_by_somebody",
                condition=Q(lifted_at__isnull=True, lifted_by__isnull=True)
                | Q(lifted_at__isnull=False, lifted_by__isnull=False),
            ),
        ]

    def __str__(self) -> str:
        return f"restriction {self.ref}"


class RestrictionPerson(Owned):
    """Somebody who may know of a restricted horse."""

    restriction = models.ForeignKey(
        Restriction,
        on_delete=models.PROTECT,
        db_constraint=False,
        db_index=False,
        related_name="people",
    )
    person = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")

    class Meta(Owned.Meta):
        constraints = [
            *Owned.Meta.constraints,
            models.UniqueConstraint(
                fields=["organisation", "restriction", "person"],
                name="yards_restrictionperson_once",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.person_id} of {self.restriction_id}"


class GlassBreak(Owned):
    """One person's reading of all of the organisation in need, approved by another, for an hour."""

    person = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    reason = models.CharField(max_length=300)
    asked_at = models.DateTimeField()
    approved_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, on_delete=models.PROTECT, related_name="+"
    )
    approved_at = models.DateTimeField(null=True)
    until_at = models.DateTimeField(null=True)
    ended_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, on_delete=models.PROTECT, related_name="+"
    )
    ended_at = models.DateTimeField(null=True)

    class Meta(Owned.Meta):
        indexes = [
            models.Index(fields=["organisation", "person", "-id"], name="yards_glassbreak_of")
        ]
        constraints = [
            *Owned.Meta.constraints,
            models.CheckConstraint(name="yards_glassbreak_says_why", condition=~Q(reason="")),
            models.CheckConstraint(
                name="yards_glassbreak_two_people",
                condition=Q(approved_by__isnull=True) | ~Q(approved_by=F("person")),
            ),
            models.CheckConstraint(
                name="yards_glassbreak_at_most_an_hour",
                condition=Q(
                    approved_at__isnull=True, approved_by__isnull=True, until_at__isnull=True
                )
                | Q(
                    approved_at__isnull=False,
                    approved_by__isnull=False,
                    until_at__gt=F("approved_at"),
                    until_at__lte=F("approved_at") + GLASS_MOST,
                ),
            ),
        ]

    def __str__(self) -> str:
        return f"glass {self.ref}"
