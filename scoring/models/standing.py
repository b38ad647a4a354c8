"""Where every horse stands now: the row that boards, sweeps and alerts read."""

from django.contrib.postgres.fields import ArrayField
from django.db import models

from scoring.models.assessments import Assessment
from scoring.models.fits import Fit
from scoring.models.weighings import Weighing
from yards.models import Horse, Owned, Yard


class Standing(Owned):
    """One row a horse, always rebuildable from its readings. Its ``ref`` is the horse's."""

    horse = models.ForeignKey(
        Horse, on_delete=models.PROTECT, db_constraint=False, db_index=False, related_name="+"
    )
    yard = models.ForeignKey(
        Yard, on_delete=models.PROTECT, db_constraint=False, db_index=False, related_name="+"
    )
    last_assessment = models.ForeignKey(
        Assessment,
        null=True,
        on_delete=models.PROTECT,
        db_constraint=False,
        db_index=False,
        related_name="+",
    )
    last_weighing = models.ForeignKey(
        Weighing,
        null=True,
        on_delete=models.PROTECT,
        db_constraint=False,
        db_index=False,
        related_name="+",
    )
    # What the filters run by; none: the published and remembered noises.
    fit = models.ForeignKey(
        Fit,
        null=True,
        on_delete=models.PROTECT,
        db_constraint=False,
        db_index=False,
        related_name="+",
    )
    # The filters' states, see scoring.rules.standing; levels and rates beside for the boards.
    score_filter = models.JSONField(null=True)
    weight_filter = models.JSONField(null=True)
    level = models.FloatField(null=True)
    level_low = models.FloatField(null=True)
    level_high = models.FloatField(null=True)
    rate_per_month = models.FloatField(null=True)
    rate_low = models.FloatField(null=True)
    rate_high = models.FloatField(null=True)
    place = models.CharField(max_length=8, blank=True)
    score_days = models.PositiveSmallIntegerField()
    weight_days = models.PositiveSmallIntegerField()
    check_days = models.PositiveSmallIntegerField(null=True)
    interval_reason = models.CharField(max_length=40, blank=True)
    score_due_at = models.DateTimeField()
    weight_due_at = models.DateTimeField()
    check_due_at = models.DateTimeField(null=True)
    # The due times that a reminder has been written for, so that each is sent once.
    reminded_due = ArrayField(models.CharField(max_length=60), default=list)
    open_alerts = models.PositiveSmallIntegerField(default=0)
    updated_at = models.DateTimeField()

    class Meta(Owned.Meta):
        indexes = [
            models.Index(fields=["organisation", "yard", "score_due_at"], name="scoring_due_score"),
            models.Index(
                fields=["organisation", "yard", "weight_due_at"], name="scoring_due_weight"
            ),
            # What the board groups every horse by: see ``scoring.queries.board_page``.
            models.Index(
                fields=["organisation", "yard", "horse"],
                include=["score_due_at", "weight_due_at", "updated_at"],
                name="scoring_standing_board",
            ),
        ]
        constraints = [
            *Owned.Meta.constraints,
            models.UniqueConstraint(
                fields=["organisation", "horse"], name="scoring_standing_one_a_horse"
            ),
        ]

    def __str__(self) -> str:
        return f"standing of {self.horse_id}"
