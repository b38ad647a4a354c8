"""What a vet sets for one horse."""

from rest_framework import serializers

from api.schema import fields, shape
from api.schema.people import PersonShape


class OrderedBandIn(shape.Shape):
    """A band on the horse's usual scale, at least half a point wide."""

    low = fields.DecimalIn()
    high = fields.DecimalIn()

    class Meta:
        ref_name = "OrderedBandIn"


class OrderedBandShape(shape.Shape):
    """A band in points on the horse's usual scale."""

    low = fields.DecimalOut()
    high = fields.DecimalOut()

    class Meta:
        ref_name = "OrderedBand"


class VetOrderIn(shape.Shape):
    """A band, intervals in days, or both, until an instant; the newest order in force wins."""

    id = serializers.UUIDField(required=False)
    band = OrderedBandIn(required=False, allow_null=True)
    score_days = serializers.IntegerField(required=False, allow_null=True)
    weight_days = serializers.IntegerField(required=False, allow_null=True)
    reason = serializers.CharField()
    until = serializers.DateTimeField()

    class Meta:
        ref_name = "VetOrderIn"


class EndVetOrderIn(shape.Shape):
    """Why an order ends sooner than it said."""

    id = serializers.UUIDField(required=False)
    reason = serializers.CharField()

    class Meta:
        ref_name = "EndVetOrderIn"


class VetOrderEndShape(shape.Shape):
    """That a vet ended an order sooner than it said."""

    by = PersonShape()
    at = serializers.DateTimeField()
    reason = serializers.CharField()

    class Meta:
        ref_name = "VetOrderEnd"


class VetOrderShape(shape.Shape):
    """A vet's order, given by the vet's own sign-in; ``ended`` where a vet ended it early."""

    id = serializers.UUIDField()
    horse = serializers.UUIDField()
    band = OrderedBandShape(allow_null=True)
    score_days = serializers.IntegerField(allow_null=True)
    weight_days = serializers.IntegerField(allow_null=True)
    reason = serializers.CharField()
    given_by = serializers.UUIDField()
    given_at = serializers.DateTimeField()
    until = serializers.DateTimeField()
    ended = VetOrderEndShape(allow_null=True)

    class Meta:
        ref_name = "VetOrder"
