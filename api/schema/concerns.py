"""Concerns."""

from rest_framework import serializers

from api.schema import choices, fields, shape
from api.schema.alerts import SeenAlertShape
from api.schema.people import PersonShape
from api.schema.readings import ReceiptShape, RecordedByShape


class ConcernIn(shape.Shape):
    """Something seen that cannot wait for a score: danger signs, or a note."""

    id = serializers.UUIDField(required=False)
    seen_at = serializers.DateTimeField()
    sent_at = serializers.DateTimeField(required=False, allow_null=True)
    danger_signs = serializers.ListField(child=fields.choice(choices.DANGER_SIGNS), required=False)
    note = serializers.CharField(required=False)

    class Meta:
        ref_name = "ConcernIn"


class ConcernShape(shape.Shape):
    """A concern, and the alerts that it opened or renewed. We never diagnose: phone the vet."""

    id = serializers.UUIDField()
    horse = serializers.UUIDField()
    yard = serializers.UUIDField()
    seen_at = serializers.DateTimeField()
    sent_at = serializers.DateTimeField(allow_null=True)
    received_at = serializers.DateTimeField()
    corrected_seen_at = serializers.DateTimeField()
    danger_signs = serializers.ListField(child=fields.choice(choices.DANGER_SIGNS))
    note = serializers.CharField(allow_blank=True)
    assessor = PersonShape()
    recorded_by = RecordedByShape()
    alerts = SeenAlertShape(many=True)
    receipt = ReceiptShape()

    class Meta:
        ref_name = "Concern"
