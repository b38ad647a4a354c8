"""Weight formulas, and what one makes of measures."""

from rest_framework import serializers

from api.schema import choices, fields, shape
from api.schema.readings import WarningShape
from scoring.rules import formulas


class MeasureShape(shape.Shape):
    """A measure in centimetres, and where the tape lies."""

    field = fields.choice(formulas.fields())
    title = serializers.CharField()
    landmark = serializers.CharField()

    class Meta:
        ref_name = "Measure"


class LikelyErrorShape(shape.Shape):
    """How far an estimate is likely to be out: per cent of it, or kilograms; the other is null.

    ``covers_percent``: how many of a hundred animals lie within it. 68 and 95 are not to be held
    against each other; null is not known.
    """

    percent = fields.DecimalOut(allow_null=True)
    kg = fields.DecimalOut(allow_null=True)
    means = serializers.CharField()
    covers_percent = serializers.IntegerField(allow_null=True)

    class Meta:
        ref_name = "LikelyError"


class LikelyErrorByHeightShape(LikelyErrorShape):
    """The likely error of animals from one height at the withers to below another."""

    height_from_cm = fields.DecimalOut(allow_null=True)
    height_below_cm = fields.DecimalOut(allow_null=True)

    class Meta:
        ref_name = "LikelyErrorByHeight"


class AgeShape(shape.Shape):
    """Months of age, both ends allowed; null is open."""

    least = serializers.IntegerField()
    most = serializers.IntegerField(allow_null=True)

    class Meta:
        ref_name = "Age"


class SampleShape(shape.Shape):
    """From the lightest to the heaviest animal that a formula was made on."""

    least = fields.DecimalOut()
    most = fields.DecimalOut()

    class Meta:
        ref_name = "Sample"


class FormulaShape(shape.Shape):
    """A published formula. ``length_cm`` is the length that it defines.

    ``confidence``: the source or its abstract was read, is quoted elsewhere, or is from memory.
    Empty ``kinds`` and ``sexes`` mean all of the species.
    """

    id = serializers.CharField()
    title = serializers.CharField()
    confidence = fields.choice(formulas.CONFIDENCES)
    population = serializers.CharField()
    species = fields.choice(choices.SPECIES)
    kinds = serializers.ListField(child=serializers.CharField())
    sexes = serializers.ListField(child=serializers.CharField())
    age_months = AgeShape()
    sample_kg = SampleShape(allow_null=True)
    measures = MeasureShape(many=True)
    likely_error = LikelyErrorShape()
    likely_error_by_height = LikelyErrorByHeightShape(many=True)
    note = serializers.CharField(allow_blank=True)

    class Meta:
        ref_name = "WeightFormula"

    reserved = {"source": serializers.CharField()}


class FormulasShape(shape.Shape):
    """All of them, the most useful of each species first."""

    results = FormulaShape(many=True)

    class Meta:
        ref_name = "WeightFormulas"


class EstimateIn(shape.Shape):
    """A formula, its measures in centimetres, and the animal where it is known.

    The animal lets a formula for another species, sex or age be refused.
    """

    formula = fields.choice(formulas.every())
    horse = serializers.UUIDField(required=False, allow_null=True)
    girth_cm = fields.DecimalIn(required=False, allow_null=True)
    belly_girth_cm = fields.DecimalIn(required=False, allow_null=True)
    length_cm = fields.DecimalIn(required=False, allow_null=True)
    height_cm = fields.DecimalIn(required=False, allow_null=True)
    neck_cm = fields.DecimalIn(required=False, allow_null=True)
    carpus_cm = fields.DecimalIn(required=False, allow_null=True)
    forelimb_cm = fields.DecimalIn(required=False, allow_null=True)

    class Meta:
        ref_name = "EstimateIn"


class EstimateShape(shape.Shape):
    """An estimate: not for drug doses, sedation or wormers without the vet. Nothing is stored."""

    formula = fields.choice(formulas.every())
    title = serializers.CharField()
    weight_kg = fields.DecimalOut()
    likely_error_kg = fields.DecimalOut()
    likely_error_means = serializers.CharField()
    likely_error_covers_percent = serializers.IntegerField(allow_null=True)
    confidence = fields.choice(formulas.CONFIDENCES)
    caution = serializers.CharField()
    warnings = WarningShape(many=True)

    class Meta:
        ref_name = "Estimate"

    reserved = {"source": serializers.CharField()}
