"""Alerts."""

from rest_framework import serializers

from api.schema import choices, fields, shape
from api.schema.people import PersonShape
from api.schema.yards import VetShape


class SeenAlertShape(shape.Shape):
    """An alert as it stood when a reading opened or renewed it."""

    id = serializers.UUIDField()
    horse = serializers.UUIDField()
    yard = serializers.UUIDField()
    rule = fields.choice(choices.RULES)
    severity = fields.choice(choices.SEVERITIES)
    state = fields.choice(choices.ALERT_STATES)
    opened_at = serializers.DateTimeField()
    reason = serializers.CharField()
    evidence = serializers.ListField(child=serializers.CharField())
    advice = serializers.CharField()
    what_not_to_do = serializers.CharField(allow_blank=True)
    not_known = serializers.ListField(
        child=serializers.CharField(), help_text="What the rule says nothing of."
    )
    vet = VetShape()
    version = serializers.IntegerField()

    class Meta:
        ref_name = "SeenAlert"


class AlertShape(SeenAlertShape):
    """An alert as it stands. A condition score describes fat cover. It is not a diagnosis."""

    seen_at = serializers.DateTimeField()
    unasked_since = serializers.DateTimeField(
        allow_null=True,
        help_text="Since when the rule, as it is set now, no longer asks for it; it stands.",
    )
    owner = PersonShape(allow_null=True)
    escalated_at = serializers.DateTimeField(allow_null=True)
    exhausted_at = serializers.DateTimeField(
        allow_null=True,
        help_text="Since when the whole ladder was climbed in vain; its last step is repeated.",
    )
    next_at = serializers.DateTimeField(
        allow_null=True, help_text="When it stirs by itself: a step, a promise, a snooze's end."
    )
    acknowledged_at = serializers.DateTimeField(allow_null=True)
    acknowledged_by = PersonShape(allow_null=True)
    note = serializers.CharField(allow_blank=True)
    next_step = serializers.CharField(allow_blank=True)
    by = serializers.DateTimeField(allow_null=True, help_text="When the next step is due.")
    snoozed_until = serializers.DateTimeField(allow_null=True)
    snooze_reason = serializers.CharField(allow_blank=True)
    snoozed_by = PersonShape(allow_null=True)
    resolved_at = serializers.DateTimeField(allow_null=True)
    resolved_by = PersonShape(allow_null=True)
    resolution = fields.choice(choices.RESOLUTIONS, allow_null=True)
    resolve_reason = serializers.CharField(allow_blank=True)
    vet_said = serializers.CharField(allow_blank=True)

    class Meta:
        ref_name = "Alert"


class AcknowledgeIn(shape.Shape):
    """The next step, and by when: 2 hours for urgent, else 24, unless said."""

    next_step = serializers.CharField()
    by = serializers.DateTimeField(required=False)
    note = serializers.CharField(required=False)
    version = serializers.IntegerField(required=False)

    class Meta:
        ref_name = "AcknowledgeIn"


class ResolveIn(shape.Shape):
    """Why it is over; what the vet said, where only a vet can say that it is."""

    reason = serializers.CharField()
    vet_said = serializers.CharField(required=False)
    version = serializers.IntegerField(required=False)

    class Meta:
        ref_name = "ResolveIn"


class SnoozeIn(shape.Shape):
    """Until when it is put off, and why."""

    until = serializers.DateTimeField()
    reason = serializers.CharField()
    version = serializers.IntegerField(required=False)

    class Meta:
        ref_name = "SnoozeIn"
