"""One measure of an animal over time."""

from rest_framework import serializers

from api.schema import fields, shape
from scoring.queries import trend
from scoring.rules import outlook


class PointShape(shape.Shape):
    """One reading as taken. ``used`` is false of what was only seen: kept, never trended."""

    id = serializers.UUIDField()
    at = serializers.DateTimeField()
    value = fields.DecimalOut()
    used = serializers.BooleanField()
    by = serializers.CharField()
    method = serializers.CharField()

    class Meta:
        ref_name = "TrendPoint"


class SmoothedShape(shape.Shape):
    """The level at a time, with its 80% interval. Draw no line between two baselines.

    The interval is of the true level: of the weight by a weighbridge, of the score by many hands.
    It has what the hand, tape or formula may be off by at every reading, so that readings of one
    alone do not make it narrow. Scores are held to the ends of their scale.
    """

    at = serializers.DateTimeField()
    level = fields.SignedOut()
    low = fields.SignedOut()
    high = fields.SignedOut()
    baseline = serializers.IntegerField()

    class Meta:
        ref_name = "TrendLevel"


class BaselineShape(shape.Shape):
    """Readings that one line may join; ``lacking`` says why they make none."""

    number = serializers.IntegerField()
    reserved = {"from": serializers.DateTimeField(), "to": serializers.DateTimeField()}
    why = serializers.CharField(allow_null=True)
    lacking = serializers.CharField(allow_null=True)

    class Meta:
        ref_name = "TrendBaseline"


class TrendRateShape(shape.Shape):
    """A rate with its 80% interval: points a month, or kilograms, centimetres, per cent a week."""

    value = fields.SignedOut()
    low = fields.SignedOut()
    high = fields.SignedOut()
    unit = fields.choice(["points", "kg", "cm", "percent"])

    class Meta:
        ref_name = "TrendRate"


class ChanceShape(shape.Shape):
    """How likely the true level now lies beyond an edge of today's band, 0 to 1."""

    limit = fields.DecimalOut()
    probability = fields.DecimalOut()

    class Meta:
        ref_name = "TrendChance"


class BandOnShape(shape.Shape):
    """The band on a day of the yard."""

    at = serializers.DateField()
    low = fields.DecimalOut()
    aim = fields.DecimalOut()
    high = fields.DecimalOut()

    class Meta:
        ref_name = "BandOn"


class ForecastShape(shape.Shape):
    """When the true level comes to lie inside the band, or outside, if all goes on as it does.

    By ``earliest``, ``expected`` and ``latest`` the chance of it has come to 10, 50 and 90%.
    """

    event = fields.choice([outlook.ENTERS, outlook.LEAVES])
    edge = fields.choice([outlook.LOW, outlook.HIGH])
    earliest = serializers.DateTimeField(allow_null=True)
    expected = serializers.DateTimeField(allow_null=True)
    latest = serializers.DateTimeField(allow_null=True)
    reason = serializers.CharField(allow_null=True)
    horizon_days = serializers.IntegerField()

    class Meta:
        ref_name = "Forecast"


class TrendShape(shape.Shape):
    """One measure over time. With fewer than three readings, or in under 14 days, no line.

    Scores change by the month, all else by the week. Points and line are of the time asked for;
    rate, chances and forecast are as of now, even where ``to`` is in the past. The hands and
    instruments of scores and weights are corrected for what they were found to add; of girths and
    crests no hand or tape is, and another tape begins no baseline anew.

    A trend describes readings; it is not a diagnosis, and a weight by tape or formula is not for
    drug doses without the vet.
    """

    measure = fields.choice(list(trend.MEASURES))
    scale = serializers.CharField(allow_null=True)
    enough = serializers.BooleanField()
    reason = serializers.CharField(allow_null=True)
    points = PointShape(many=True)
    smoothed = SmoothedShape(many=True)
    baselines = BaselineShape(many=True)
    rate_per_month = TrendRateShape(allow_null=True)
    rate_per_week = TrendRateShape(allow_null=True)
    percent_per_week = TrendRateShape(allow_null=True)
    probability_above = ChanceShape(allow_null=True)
    probability_below = ChanceShape(allow_null=True)
    band = BandOnShape(many=True)
    forecast = ForecastShape(allow_null=True)

    class Meta:
        ref_name = "Trend"
