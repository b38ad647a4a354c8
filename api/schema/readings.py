"""Assessments, weighings, concerns and instruments."""

from rest_framework import serializers

from api.schema import choices, fields, shape
from api.schema.alerts import SeenAlertShape
from api.schema.people import PersonShape
from api.schema.suggestion import ApproximateShape, SuggestionShape


class ReceiptShape(shape.Shape):
    """The ledger's receipt: the entry, and its RFC 9162 leaf hash."""

    entry = serializers.UUIDField()
    leaf = serializers.RegexField(r"^[0-9a-f]{64}$")

    class Meta:
        ref_name = "Receipt"


class RecordedByShape(shape.Shape):
    """Who wrote it down."""

    person = serializers.UUIDField()

    class Meta:
        ref_name = "RecordedBy"


class RegionsIn(shape.Shape):
    """Scores on the half-point grid; null only if listed in ``not_safe``."""

    neck_and_shoulder = fields.DecimalIn(allow_null=True)
    back_and_ribs = fields.DecimalIn(allow_null=True)
    hindquarters = fields.DecimalIn(allow_null=True)

    class Meta:
        ref_name = "RegionsIn"


class RegionsShape(shape.Shape):
    """Scores in points; null where it was not safe to palpate."""

    neck_and_shoulder = fields.DecimalOut(allow_null=True)
    back_and_ribs = fields.DecimalOut(allow_null=True)
    hindquarters = fields.DecimalOut(allow_null=True)

    class Meta:
        ref_name = "Regions"


class WarningShape(shape.Shape):
    """What is odd, not wrong: the reading stands."""

    field = serializers.CharField(allow_blank=True)
    message = serializers.CharField()

    class Meta:
        ref_name = "Warning"


class WeighedIn(shape.Shape):
    """A weight taken with an assessment.

    With the method ``formula``, ``formula`` is one of ``/weight-formulas/``, its measures are
    required, and the weight may be left out: it is worked out. With any other it is required.
    """

    method = fields.choice(choices.METHODS)
    instrument = serializers.UUIDField(required=False, allow_null=True)
    weight_kg = fields.DecimalIn(required=False, allow_null=True)
    formula = serializers.CharField(required=False, allow_null=True)
    measures = fields.Measures(required=False)
    fed = fields.choice(choices.FED, required=False, allow_null=True)
    tape_side = fields.choice(choices.TAPE_SIDES, required=False, allow_null=True)
    tape_position = fields.choice(choices.TAPE_POSITIONS, required=False, allow_null=True)

    class Meta:
        ref_name = "WeighedIn"


class WeighingIn(WeighedIn):
    """A weight in kilograms, and how it was taken."""

    id = serializers.UUIDField(required=False)
    horse = serializers.UUIDField()
    taken_at = serializers.DateTimeField()
    sent_at = serializers.DateTimeField(required=False, allow_null=True)

    class Meta:
        ref_name = "WeighingIn"


class WeighingCorrection(WeighingIn):
    """The whole new content, and why."""

    reason = serializers.CharField()

    class Meta:
        ref_name = "WeighingCorrection"


class WeighingShape(shape.Shape):
    """A weighing. Inside an assessment it has no receipt of its own.

    ``likely_error_kg`` stands with a formula's estimate, ``likely_error_covers_percent`` says how
    many of a hundred animals lie within it, where known. ``warnings`` tell what was odd when it
    came in: another hour, tape, side or place than usual, or measures at a formula's edge.
    """

    id = serializers.UUIDField()
    horse = serializers.UUIDField()
    yard = serializers.UUIDField()
    taken_at = serializers.DateTimeField()
    sent_at = serializers.DateTimeField(allow_null=True)
    received_at = serializers.DateTimeField()
    corrected_taken_at = serializers.DateTimeField()
    method = fields.choice(choices.METHODS)
    instrument = serializers.UUIDField(allow_null=True)
    weight_kg = fields.DecimalOut()
    formula = serializers.CharField(allow_null=True)
    measures = fields.Words()
    fed = fields.choice(choices.FED, allow_null=True)
    tape_side = fields.choice(choices.TAPE_SIDES, allow_null=True)
    tape_position = fields.choice(choices.TAPE_POSITIONS, allow_null=True)
    likely_error_kg = fields.DecimalOut(allow_null=True)
    likely_error_covers_percent = serializers.IntegerField(allow_null=True)
    assessor = PersonShape()
    recorded_by = RecordedByShape()
    supersedes = serializers.UUIDField(allow_null=True)
    superseded_by = serializers.UUIDField(allow_null=True)
    reason = serializers.CharField(allow_blank=True)
    warnings = WarningShape(many=True)
    receipt = ReceiptShape(required=False)

    class Meta:
        ref_name = "Weighing"


_HELD_BY = "A name; or `somebody` where it is not said who, `nobody` where it stood by itself."


class AssessmentIn(shape.Shape):
    """An assessment. ``five`` has ``regions``; ``nine`` and ``donkey`` have ``overall``."""

    id = serializers.UUIDField(required=False)
    horse = serializers.UUIDField()
    taken_at = serializers.DateTimeField()
    sent_at = serializers.DateTimeField(required=False, allow_null=True)
    scale = fields.choice(choices.SCALES)
    manner = fields.choice(choices.MANNERS)
    regions = RegionsIn(required=False)
    overall = fields.DecimalIn(required=False)
    not_safe = serializers.ListField(child=fields.choice(choices.NOT_SAFE), required=False)
    fat_pocket = fields.choice(choices.FAT_POCKETS, required=False)
    by_eye = fields.DecimalIn(required=False, allow_null=True)
    crest = fields.DecimalIn(required=False, allow_null=True)
    findings = fields.Words(required=False)
    danger_signs = serializers.ListField(child=fields.choice(choices.DANGER_SIGNS), required=False)
    looked_for_danger = serializers.BooleanField(required=False)
    appetite = fields.choice(choices.APPETITES, required=False, allow_null=True)
    muscle = fields.choice(choices.MUSCLES, required=False, allow_null=True)
    coat = fields.choice(choices.COATS, required=False, allow_null=True)
    rug_off = serializers.BooleanField(required=False, allow_null=True)
    held_by = serializers.CharField(required=False, help_text=_HELD_BY)
    limits = serializers.CharField(required=False)
    weighing = WeighedIn(required=False, allow_null=True)
    note = serializers.CharField(required=False)

    class Meta:
        ref_name = "AssessmentIn"


class AssessmentCorrection(AssessmentIn):
    """The whole new content with its own ``id``, and why."""

    reason = serializers.CharField()

    class Meta:
        ref_name = "AssessmentCorrection"


class BandShape(shape.Shape):
    """The target band in points, as it stood."""

    low = fields.DecimalOut()
    aim = fields.DecimalOut()
    high = fields.DecimalOut()

    class Meta:
        ref_name = "Band"


class AssessmentShape(shape.Shape):
    """An assessment, what it comes to, and what it set off.

    ``regions`` are as felt; ``regions_used`` have the fat pocket in them. ``overall`` is the exact
    mean, which place and alerts go by; ``overall_pelvis_led`` is the published rule beside it, on
    ``five`` only. A condition score describes fat cover. It is not a diagnosis.
    """

    id = serializers.UUIDField()
    horse = serializers.UUIDField()
    yard = serializers.UUIDField()
    taken_at = serializers.DateTimeField()
    sent_at = serializers.DateTimeField(allow_null=True)
    scale = fields.choice(choices.SCALES)
    scale_version = serializers.IntegerField()
    manner = fields.choice(choices.MANNERS)
    regions = RegionsShape(allow_null=True)
    not_safe = serializers.ListField(child=fields.choice(choices.NOT_SAFE))
    fat_pocket = fields.choice(choices.FAT_POCKETS)
    by_eye = fields.DecimalOut(allow_null=True)
    crest = fields.DecimalOut(allow_null=True)
    findings = fields.Words()
    suggestion = SuggestionShape(allow_null=True)
    danger_signs = serializers.ListField(child=fields.choice(choices.DANGER_SIGNS))
    looked_for_danger = serializers.BooleanField()
    appetite = fields.choice(choices.APPETITES, allow_null=True)
    muscle = fields.choice(choices.MUSCLES, allow_null=True)
    coat = fields.choice(choices.COATS, allow_null=True)
    rug_off = serializers.BooleanField(allow_null=True)
    held_by = serializers.CharField(allow_blank=True, help_text=_HELD_BY)
    limits = serializers.CharField(allow_blank=True)
    weighing = WeighingShape(allow_null=True)
    note = serializers.CharField(allow_blank=True)
    regions_used = RegionsShape(allow_null=True)
    overall = fields.DecimalOut(allow_null=True)
    overall_nearest_half = fields.DecimalOut(allow_null=True)
    overall_pelvis_led = fields.DecimalOut(allow_null=True)
    approximate = ApproximateShape(allow_null=True)
    fattest_regions = serializers.ListField(child=fields.choice(choices.REGIONS))
    assessor = PersonShape()
    recorded_by = RecordedByShape()
    received_at = serializers.DateTimeField()
    corrected_taken_at = serializers.DateTimeField()
    supersedes = serializers.UUIDField(allow_null=True)
    superseded_by = serializers.UUIDField(allow_null=True)
    reason = serializers.CharField(allow_blank=True)
    band = BandShape(allow_null=True)
    place = fields.choice(choices.PLACES, allow_null=True)
    alerts = SeenAlertShape(many=True)
    receipt = ReceiptShape()

    class Meta:
        ref_name = "Assessment"


class InstrumentIn(shape.Shape):
    """A weigh tape or weighbridge; without a yard it serves the whole organisation."""

    id = serializers.UUIDField(required=False)
    kind = fields.choice(choices.INSTRUMENTS)
    yard = serializers.UUIDField(required=False, allow_null=True)

    class Meta:
        ref_name = "InstrumentIn"

    reserved = {"label": serializers.CharField()}


class InstrumentShape(shape.Shape):
    """A weigh tape or weighbridge. Two tapes are two instruments."""

    id = serializers.UUIDField()
    kind = fields.choice(choices.INSTRUMENTS)
    yard = serializers.UUIDField(allow_null=True)

    class Meta:
        ref_name = "Instrument"

    reserved = {"label": serializers.CharField()}
