"""Horses, donkeys and mules, and where each has stood."""

from django.contrib.postgres.constraints import ExclusionConstraint
from django.contrib.postgres.fields import DateTimeRangeField, RangeOperators
from django.db import models
from django.db.models import F, Func, Q

from yards.models import found_by as finding
from yards.models.base import Owned
from yards.models.organisations import Yard
from yards.rules import horse


class Horse(Owned):
    """One animal. ``yard`` is where it stands now; the stays are the history."""

    name = models.CharField(max_length=120)
    name_key = models.CharField(max_length=240)
    yard = models.ForeignKey(
        Yard, on_delete=models.PROTECT, db_constraint=False, db_index=False, related_name="+"
    )
    species = models.CharField(max_length=8)
    kind = models.CharField(max_length=24, blank=True)
    sex = models.CharField(max_length=12, blank=True)
    # As given: "", "2014" or "2014-05-01"; the earliest day it can mean stands beside.
    born = models.CharField(max_length=10, blank=True)
    born_earliest = models.DateField(null=True)
    born_basis = models.CharField(max_length=16, blank=True)
    height_cm = models.DecimalField(max_digits=4, decimal_places=1, null=True)
    use = models.CharField(max_length=24)
    breeding = models.CharField(max_length=24, blank=True)
    laminitis = models.CharField(max_length=16)
    endocrine = models.CharField(max_length=16)
    transponder = models.CharField(max_length=15, blank=True)
    ueln = models.CharField(max_length=15, blank=True)
    found_by = models.GeneratedField(
        expression=finding.FOUND_BY, output_field=models.TextField(), db_persist=True
    )
    # What whoever goes up to it must know. Of two records that turned out one animal both stand, so
    # it may be longer than what is typed at once.
    handling = models.TextField(blank=True, default="", db_default="")
    # Its place in the yard's walking order, from 1; none comes last, by name.
    walk_place = models.PositiveSmallIntegerField(null=True)
    status = models.CharField(max_length=12)
    ended_at = models.DateTimeField(null=True)
    is_unknown = models.BooleanField(default=False)
    merged_into = models.ForeignKey(
        "self",
        null=True,
        on_delete=models.PROTECT,
        db_constraint=False,
        db_index=False,
        related_name="+",
    )
    created_at = models.DateTimeField()
    version = models.PositiveIntegerField(default=1)

    class Meta(Owned.Meta):
        indexes = [
            models.Index(fields=["organisation", "yard", "name_key"], name="yards_horse_by_yard"),
            models.Index(fields=["organisation", "name_key"], name="yards_horse_by_name"),
            models.Index(fields=["organisation", "transponder"], name="yards_horse_by_transponder"),
            # What the board reads of everyone who is here: see ``scoring.queries.board_page``.
            models.Index(
                fields=["organisation", "id"],
                include=["name_key", "ref", "use"],
                name="yards_horse_here",
                condition=Q(status="present"),
            ),
            # Few were ever unknown; every reading asks for those that turned out to be this horse.
            models.Index(
                fields=["organisation", "merged_into"],
                name="yards_horse_merged",
                condition=Q(merged_into__isnull=False),
            ),
        ]
        constraints = [
            *Owned.Meta.constraints,
            models.CheckConstraint(
                name="yards_horse_species", condition=Q(species__in=["horse", "donkey", "mule"])
            ),
            models.CheckConstraint(
                name="yards_horse_facts_from_their_lists",
                condition=Q(
                    sex__in=["", *horse.SEXES],
                    use__in=horse.USES,
                    breeding__in=["", *horse.BREEDING],
                    laminitis__in=horse.LAMINITIS,
                    endocrine__in=horse.ENDOCRINE,
                ),
            ),
            models.CheckConstraint(
                name="yards_horse_status",
                condition=Q(status__in=["present", "away", "rehomed", "dead", "merged"]),
            ),
            models.CheckConstraint(
                name="yards_horse_ended_when_gone",
                condition=Q(status__in=["present", "away"], ended_at__isnull=True)
                | Q(status__in=["rehomed", "dead", "merged"], ended_at__isnull=False),
            ),
            models.CheckConstraint(
                name="yards_horse_merged_names_the_other",
                condition=Q(status="merged", merged_into__isnull=False)
                | (~Q(status="merged") & Q(merged_into__isnull=True)),
            ),
        ]

    def __str__(self) -> str:
        return self.name


class Stay(Owned):
    """A horse in a yard from one instant until another. Stays of a horse never overlap."""

    horse = models.ForeignKey(
        Horse, on_delete=models.PROTECT, db_constraint=False, db_index=False, related_name="+"
    )
    yard = models.ForeignKey(
        Yard, on_delete=models.PROTECT, db_constraint=False, db_index=False, related_name="+"
    )
    from_at = models.DateTimeField()
    until_at = models.DateTimeField(null=True)

    class Meta(Owned.Meta):
        indexes = [models.Index(fields=["organisation", "horse", "from_at"], name="yards_stay_of")]
        constraints = [
            *Owned.Meta.constraints,
            models.CheckConstraint(
                name="yards_stay_ends_after_it_begins",
                condition=Q(until_at__isnull=True) | Q(until_at__gt=F("from_at")),
            ),
            ExclusionConstraint(
                name="yards_stay_never_overlaps",
                expressions=[
                    ("horse", RangeOperators.EQUAL),
                    (
                        Func(
                            "from_at",
                            "until_at",
                            function="TSTZRANGE",
                            output_field=DateTimeRangeField(),
                        ),
                        RangeOperators.OVERLAPS,
                    ),
                ],
            ),
        ]

    def __str__(self) -> str:
        return f"{self.horse_id} in {self.yard_id} from {self.from_at:%Y-%m-%d}"
