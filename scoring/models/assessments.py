"""Assessments: three regions, or one whole-animal score, felt or seen at one time."""

from django.contrib.postgres.fields import ArrayField
from django.db import models
from django.db.models import Case, F, Q, Value, When

from scoring.models.record import NOT_AHEAD, Recorded
from scoring.models.weighings import Weighing
from scoring.rules import reading
from yards.models import Owned
from yards.models.notes import NoteLine, NoteText


def _halves_between(name: str, low: int, high: int) -> Q:
    return Q(**{f"{name}__isnull": True}) | Q(**{f"{name}__gte": low, f"{name}__lte": high})


# NULL plus anything stays NULL, so a region that was not safe to palpate leaves no overall.
_POCKET = Case(
    When(fat_pocket="marked", back__lt=10, then=Value(1)),
    default=Value(0),
    output_field=models.SmallIntegerField(),
)
OVERALL_SIXTHS = Case(
    When(scale="five", then=F("neck") + F("back") + _POCKET + F("hind")),
    default=F("whole") * Value(3),
    output_field=models.SmallIntegerField(),
)


class Assessment(Recorded):
    """One assessment. Regions and whole are in half points; NULL is 'not safe to palpate'.

    ``overall_sixths`` is the exact overall in sixths of a point, computed by the database.
    """

    scale = models.CharField(max_length=8)
    scale_version = models.PositiveSmallIntegerField()
    manner = models.CharField(max_length=12)
    neck = models.SmallIntegerField(null=True)
    back = models.SmallIntegerField(null=True)
    hind = models.SmallIntegerField(null=True)
    whole = models.SmallIntegerField(null=True)
    fat_pocket = models.CharField(max_length=8, default="none")
    overall_sixths = models.GeneratedField(
        expression=OVERALL_SIXTHS,
        output_field=models.SmallIntegerField(null=True),
        db_persist=True,
    )
    by_eye = models.SmallIntegerField(null=True)
    crest = models.SmallIntegerField(null=True)
    findings = models.JSONField(default=dict)
    # What the findings suggested on the day, from the tables of that day; it never set the score.
    suggestion = models.JSONField(default=dict, db_default=Value({}, models.JSONField()))
    danger_signs = ArrayField(models.CharField(max_length=40), default=list)
    looked_for_danger = models.BooleanField(default=False)
    appetite = models.CharField(max_length=12, blank=True)
    muscle = models.CharField(max_length=12, blank=True)
    coat = models.CharField(max_length=12, blank=True)
    rug_off = models.BooleanField(null=True)
    held_by = models.CharField(max_length=120, blank=True)
    limits = NoteLine(max_length=500, blank=True)
    note = NoteText(blank=True)
    weighing = models.ForeignKey(
        Weighing,
        null=True,
        on_delete=models.PROTECT,
        db_constraint=False,
        db_index=False,
        related_name="+",
    )
    # The band as it stood, so that the first answer can be given again.
    band_low = models.DecimalField(max_digits=4, decimal_places=2, null=True)
    band_aim = models.DecimalField(max_digits=4, decimal_places=2, null=True)
    band_high = models.DecimalField(max_digits=4, decimal_places=2, null=True)
    place = models.CharField(max_length=8, blank=True)
    supersedes = models.ForeignKey(
        "self",
        null=True,
        on_delete=models.PROTECT,
        db_constraint=False,
        db_index=False,
        related_name="superseded_by",
    )
    reason = models.CharField(max_length=500, blank=True)

    class Meta(Recorded.Meta):
        indexes = [
            models.Index(
                fields=["organisation", "horse", "-corrected_at", "-received_at", "-id"],
                name="scoring_assessment_of",
            ),
            models.Index(fields=["organisation", "-id"], name="scoring_assessment_newest"),
            # When a vet was last here: see ``scoring.queries.visit_since``.
            models.Index(
                fields=["organisation", "recorded_by", "-received_at"], name="scoring_assessment_by"
            ),
        ]
        constraints = [
            *Owned.Meta.constraints,
            models.UniqueConstraint(
                fields=["organisation", "supersedes"], name="scoring_assessment_superseded_once"
            ),
            models.CheckConstraint(
                name="scoring_assessment_scale",
                condition=Q(scale__in=["five", "nine", "donkey"]),
            ),
            models.CheckConstraint(
                name="scoring_assessment_manner", condition=Q(manner__in=["palpated", "visual"])
            ),
            models.CheckConstraint(
                name="scoring_assessment_pocket",
                condition=Q(fat_pocket__in=["none", "slight", "marked"]),
            ),
            models.CheckConstraint(
                name="scoring_assessment_regions_on_scale",
                condition=_halves_between("neck", 0, 10)
                & _halves_between("back", 0, 10)
                & _halves_between("hind", 0, 10),
            ),
            models.CheckConstraint(
                name="scoring_assessment_whole_on_scale",
                condition=Q(whole__isnull=True)
                | Q(scale="nine", whole__gte=2, whole__lte=18)
                | Q(scale="donkey", whole__gte=2, whole__lte=10),
            ),
            models.CheckConstraint(
                name="scoring_assessment_regions_or_whole",
                condition=Q(scale="five", whole__isnull=True)
                | (
                    ~Q(scale="five")
                    & Q(neck__isnull=True, back__isnull=True, hind__isnull=True)
                    & Q(fat_pocket="none")
                ),
            ),
            models.CheckConstraint(
                name="scoring_assessment_crest_on_scale", condition=_halves_between("crest", 0, 10)
            ),
            models.CheckConstraint(name="scoring_assessment_not_ahead", condition=NOT_AHEAD),
            models.CheckConstraint(
                name="scoring_assessment_by_eye_on_scale",
                condition=Q(by_eye__isnull=True)
                | Q(scale="five", by_eye__gte=0, by_eye__lte=10)
                | Q(scale="nine", by_eye__gte=2, by_eye__lte=18)
                | Q(scale="donkey", by_eye__gte=2, by_eye__lte=10),
            ),
            models.CheckConstraint(
                name="scoring_assessment_beside_from_its_lists",
                condition=Q(
                    appetite__in=["", *reading.APPETITES],
                    muscle__in=["", *reading.MUSCLES],
                    coat__in=["", *reading.COATS],
                ),
            ),
            models.CheckConstraint(
                name="scoring_assessment_correction_says_why",
                condition=Q(supersedes__isnull=True, reason="")
                | (Q(supersedes__isnull=False) & ~Q(reason="")),
            ),
        ]

    def __str__(self) -> str:
        return str(self.ref)
