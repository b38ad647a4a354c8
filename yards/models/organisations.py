"""Organisations, and the yards they keep."""

from django.db import models
from django.db.models import Q

from yards.models.base import Owned
from yards.rules import organisation


class Organisation(models.Model):
    """The boundary of everything: no row of one organisation is ever seen from another."""

    id = models.UUIDField(primary_key=True)
    name = models.CharField(max_length=120)
    name_key = models.CharField(max_length=240)
    created_at = models.DateTimeField()
    # By which rule a score of three regions is summed up on pages; both are always shown.
    overall_rule = models.CharField(
        max_length=12, default=organisation.MEAN, db_default=organisation.MEAN
    )
    # Whether coordinators, vets and auditors must have a second factor to reach any page.
    second_factor = models.BooleanField(default=False, db_default=False)
    version = models.PositiveIntegerField(default=1, db_default=1)

    class Meta:
        constraints = [
            models.CheckConstraint(
                name="yards_organisation_overall_rule",
                condition=Q(overall_rule__in=organisation.OVERALL_RULES),
            )
        ]

    def __str__(self) -> str:
        return self.name


class Yard(Owned):
    """A place where horses stand, with its own clock, spring and vet."""

    name = models.CharField(max_length=120)
    name_key = models.CharField(max_length=240)
    time_zone = models.CharField(max_length=64)
    hemisphere = models.CharField(max_length=8)
    # "MM-DD", both or neither; neither means the meteorological spring of the hemisphere.
    spring_first = models.CharField(max_length=5, blank=True)
    spring_last = models.CharField(max_length=5, blank=True)
    vet_practice = models.CharField(max_length=120, blank=True)
    vet_phone = models.CharField(max_length=32, blank=True)
    vet_out_of_hours_phone = models.CharField(max_length=32, blank=True)
    vet_second_phone = models.CharField(max_length=32, blank=True)
    quiet_from = models.TimeField(null=True)
    quiet_to = models.TimeField(null=True)
    created_at = models.DateTimeField()
    version = models.PositiveIntegerField(default=1)
    # Of the walking order, which others change than the yard's settings.
    walk_version = models.PositiveIntegerField(default=1, db_default=1)

    class Meta(Owned.Meta):
        indexes = [models.Index(fields=["organisation", "name_key"], name="yards_yard_by_name")]
        constraints = [
            *Owned.Meta.constraints,
            models.CheckConstraint(
                name="yards_yard_hemisphere",
                condition=Q(hemisphere__in=["north", "south", "none"]),
            ),
            models.CheckConstraint(
                name="yards_yard_spring_has_both_ends",
                condition=Q(spring_first="", spring_last="")
                | (~Q(spring_first="") & ~Q(spring_last="")),
            ),
            models.CheckConstraint(
                name="yards_yard_quiet_has_both_ends",
                condition=Q(quiet_from__isnull=True, quiet_to__isnull=True)
                | Q(quiet_from__isnull=False, quiet_to__isnull=False),
            ),
        ]

    def __str__(self) -> str:
        return self.name
