"""Weighings: by weighbridge, weigh tape, formula or estimate. Four different numbers."""

from django.db import models
from django.db.models import Q, Value

from scoring.models.assessors import Instrument
from scoring.models.record import NOT_AHEAD, Recorded
from scoring.rules import tape, weighing
from yards.models import Owned


class Weighing(Recorded):
    """One weight, in kilograms, with how it was taken."""

    method = models.CharField(max_length=12)
    instrument = models.ForeignKey(
        Instrument,
        null=True,
        on_delete=models.PROTECT,
        db_constraint=False,
        db_index=False,
        related_name="+",
    )
    weight_kg = models.DecimalField(max_digits=6, decimal_places=1)
    formula = models.CharField(max_length=40, blank=True)
    measures = models.JSONField(default=dict)
    fed = models.CharField(max_length=16, blank=True)
    # How a tape lay; "" is not noted.
    tape_side = models.CharField(max_length=8, blank=True, default="", db_default="")
    tape_position = models.CharField(max_length=24, blank=True, default="", db_default="")
    # What was made of it when it came in, so that the first answer can be told again: how far a
    # formula is likely to be out, and message keys of what was odd.
    likely_error_kg = models.DecimalField(max_digits=6, decimal_places=1, null=True)
    warnings = models.JSONField(default=list, db_default=Value([], models.JSONField()))
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
                name="scoring_weighing_of",
            ),
            models.Index(fields=["organisation", "-id"], name="scoring_weighing_newest"),
            models.Index(
                fields=["organisation", "recorded_by", "-received_at"], name="scoring_weighing_by"
            ),
        ]
        constraints = [
            *Owned.Meta.constraints,
            models.UniqueConstraint(
                fields=["organisation", "supersedes"], name="scoring_weighing_superseded_once"
            ),
            models.CheckConstraint(
                name="scoring_weighing_method",
                condition=Q(method__in=["weighbridge", "weigh_tape", "formula", "estimate"]),
            ),
            models.CheckConstraint(name="scoring_weighing_not_ahead", condition=NOT_AHEAD),
            models.CheckConstraint(
                name="scoring_weighing_formula_named_by_formula",
                condition=Q(Q(method="formula") & ~Q(formula=""))
                | Q(~Q(method="formula") & Q(formula="")),
            ),
            models.CheckConstraint(
                name="scoring_weighing_estimate_has_no_instrument",
                condition=~Q(method="estimate") | Q(instrument__isnull=True),
            ),
            models.CheckConstraint(
                name="scoring_weighing_fed", condition=Q(fed__in=["", *weighing.FED])
            ),
            models.CheckConstraint(
                name="scoring_weighing_tape_from_its_lists",
                condition=Q(
                    tape_side__in=["", *tape.sides()], tape_position__in=["", *tape.positions()]
                ),
            ),
            models.CheckConstraint(
                name="scoring_weighing_tape_only_by_tape",
                condition=Q(method__in=weighing.TAPED) | Q(tape_side="", tape_position=""),
            ),
            models.CheckConstraint(
                name="scoring_weighing_is_a_weight",
                condition=Q(weight_kg__gte=5, weight_kg__lte=1500),
            ),
            models.CheckConstraint(
                name="scoring_weighing_correction_says_why",
                condition=Q(supersedes__isnull=True, reason="")
                | (Q(supersedes__isnull=False) & ~Q(reason="")),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.weight_kg} kg"
