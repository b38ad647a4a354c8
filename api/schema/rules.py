"""Risk rules as an organisation has them, their exceptions, and what a change would have meant."""

from rest_framework import serializers

from api.schema import choices, fields, shape
from api.schema.people import PersonShape


class ThresholdShape(shape.Shape):
    """One threshold: its value here, and between what an organisation may set it."""

    scale = serializers.CharField()
    measure = serializers.CharField()
    words = serializers.CharField(help_text="What is measured, and from which value on it counts.")
    value = fields.DecimalOut()
    is_own = serializers.BooleanField(help_text="Set by the organisation, else the default.")
    side = fields.choice(choices.THRESHOLD_SIDES)
    unit = fields.choice(choices.THRESHOLD_UNITS)
    default = fields.DecimalOut()
    least = fields.DecimalOut()
    most = fields.DecimalOut()
    confidence = fields.choice(choices.CONFIDENCES)

    class Meta:
        ref_name = "Threshold"

    reserved = {"source": serializers.CharField()}


class HeardShape(shape.Shape):
    """Who hears of a severity of the rule, and how soon."""

    severity = fields.choice(choices.SEVERITIES)
    words = serializers.CharField()

    class Meta:
        ref_name = "Heard"


class RuleShape(shape.Shape):
    """A risk rule. It finds or finds nothing; it never diagnoses."""

    rule = fields.choice(choices.RULES)
    title = serializers.CharField()
    looks_for = serializers.CharField()
    on = serializers.BooleanField()
    protects_life = serializers.BooleanField(help_text="Never switched off, never made weaker.")
    heard = HeardShape(many=True)
    thresholds = ThresholdShape(many=True)
    not_known = serializers.ListField(child=serializers.CharField())
    exceptions = serializers.IntegerField(help_text="In force and in your scope.")
    reason = serializers.CharField(allow_blank=True, help_text="Of the last change.")
    set_by = PersonShape(allow_null=True)
    set_at = serializers.DateTimeField(allow_null=True)
    version = serializers.IntegerField()

    class Meta:
        ref_name = "Rule"

    reserved = {"source": serializers.CharField()}


class RulesShape(shape.Shape):
    """All of them, gravest first."""

    results = RuleShape(many=True)

    class Meta:
        ref_name = "Rules"


class RuleChange(shape.Shape):
    """What is to change: what is left out stays, null is the default again."""

    thresholds = fields.Thresholds(required=False, allow_null=True)
    on = serializers.BooleanField(required=False, allow_null=True)
    reason = serializers.CharField()
    resolve = serializers.BooleanField(
        required=False,
        allow_null=True,
        help_text="Resolve, with this reason, the open alerts that are not asked for any more.",
    )
    version = serializers.IntegerField()

    class Meta:
        ref_name = "RuleChange"


class RuleChangedShape(RuleShape):
    """The rule as it is now, and what became of its open alerts."""

    left_open = serializers.IntegerField(
        help_text="Not asked for any more; they stand until a reading or a person ends them."
    )
    resolved = serializers.IntegerField()

    class Meta:
        ref_name = "RuleChanged"


class PreviewIn(shape.Shape):
    """A setting to try; of one yard or one horse, if an exception is meant."""

    thresholds = fields.Thresholds(required=False, allow_null=True)
    on = serializers.BooleanField(required=False, allow_null=True)
    yard = serializers.UUIDField(required=False, allow_null=True)
    horse = serializers.UUIDField(required=False, allow_null=True)

    class Meta:
        ref_name = "PreviewIn"


class CountShape(shape.Shape):
    """So many alerts opened, on so many horses, so many of them in spring."""

    alerts = serializers.IntegerField()
    horses = serializers.IntegerField()
    in_spring = serializers.IntegerField()

    class Meta:
        ref_name = "AlertCount"


class BesideShape(shape.Shape):
    """Another rule that would have told more or less, because this one speaks for it."""

    rule = fields.choice(choices.RULES)
    today = CountShape()
    proposed = CountShape()

    class Meta:
        ref_name = "Beside"


class NamedHorseShape(shape.Shape):
    """A horse, by its name today."""

    id = serializers.UUIDField()
    name = serializers.CharField()

    class Meta:
        ref_name = "NamedHorse"


class PreviewShape(shape.Shape):
    """What today's setting told in twelve months, and what the proposed one would have told."""

    since = serializers.DateTimeField()
    until = serializers.DateTimeField()
    today = CountShape()
    proposed = CountShape()
    beside = BesideShape(many=True)
    more = NamedHorseShape(many=True, help_text="Only the proposed setting tells of these.")
    fewer = NamedHorseShape(many=True, help_text="Only today's setting tells of these.")
    horses_counted = serializers.IntegerField()
    horses = serializers.IntegerField(help_text="How many there are; the last read are counted.")

    class Meta:
        ref_name = "Preview"


class ExceptionIn(shape.Shape):
    """A rule set otherwise, or off, for one yard or one horse, until an instant."""

    id = serializers.UUIDField(required=False)
    rule = fields.choice(choices.RULES)
    yard = serializers.UUIDField(required=False, allow_null=True)
    horse = serializers.UUIDField(required=False, allow_null=True)
    thresholds = fields.Thresholds(required=False, allow_null=True)
    on = serializers.BooleanField(required=False, allow_null=True)
    reason = serializers.CharField()
    until = serializers.DateTimeField(help_text="Within a year.")

    class Meta:
        ref_name = "RuleExceptionIn"


class ExceptionEnd(shape.Shape):
    """Why it is ended before its time."""

    reason = serializers.CharField()

    class Meta:
        ref_name = "RuleExceptionEnd"


class ExceptionShape(shape.Shape):
    """An exception to a rule. It ends by itself; its horses are judged anew then."""

    id = serializers.UUIDField()
    rule = fields.choice(choices.RULES)
    yard = serializers.UUIDField(allow_null=True)
    horse = serializers.UUIDField(allow_null=True)
    thresholds = fields.Thresholds()
    on = serializers.BooleanField()
    reason = serializers.CharField()
    given_by = PersonShape()
    given_at = serializers.DateTimeField()
    until = serializers.DateTimeField()
    ended_at = serializers.DateTimeField(allow_null=True)
    ended_by = PersonShape(allow_null=True)
    end_reason = serializers.CharField(allow_blank=True)
    state = fields.choice(choices.EXCEPTION_STATES)

    class Meta:
        ref_name = "RuleException"
