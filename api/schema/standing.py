"""Where a horse stands, and what falls due."""

from rest_framework import serializers

from api.schema import choices, fields, shape
from api.schema.readings import BandShape


class LevelShape(shape.Shape):
    """A level in points, with its 80% interval, as of the reading at ``at``.

    The interval is of the true level, with what the hands that scored may be off by.
    """

    level = fields.SignedOut()
    low = fields.SignedOut()
    high = fields.SignedOut()
    at = serializers.DateTimeField()

    class Meta:
        ref_name = "Level"


class RateShape(shape.Shape):
    """Points a month, with an 80% interval, as of the same reading as the level."""

    value = fields.SignedOut()
    low = fields.SignedOut()
    high = fields.SignedOut()
    unit = fields.choice(["points"])

    class Meta:
        ref_name = "Rate"


class NextShape(shape.Shape):
    """When score, weight and the daily look at an emaciated animal fall due, and why so often."""

    score_at = serializers.DateTimeField()
    weight_at = serializers.DateTimeField()
    check_at = serializers.DateTimeField(allow_null=True)
    state = fields.choice(choices.DUE_STATES)
    why = serializers.CharField()

    class Meta:
        ref_name = "Next"


class StandingShape(shape.Shape):
    """Where one horse stands. ``reason`` says why there is no rate.

    Level, rate and weight are as of their last reading; more than 120 days after it there are none.
    A condition score describes fat cover. It is not a diagnosis. A weight is an estimate: not for
    drug doses without the vet.
    """

    horse = serializers.UUIDField()
    overall = LevelShape(allow_null=True)
    place = fields.choice(choices.PLACES, allow_null=True)
    rate_per_month = RateShape(allow_null=True)
    reason = serializers.CharField(allow_null=True)
    weight_kg = fields.DecimalOut(allow_null=True)
    weight_at = serializers.DateTimeField(allow_null=True)
    last_assessment = serializers.UUIDField(allow_null=True)
    last_assessed_at = serializers.DateTimeField(allow_null=True)
    due = NextShape()
    open_alerts = serializers.IntegerField()
    band = BandShape()

    class Meta:
        ref_name = "Standing"


class DueShape(shape.Shape):
    """One thing due of one horse; ``days`` overdue by the yard's calendar, 0 on the day."""

    horse = serializers.UUIDField()
    yard = serializers.UUIDField()
    what = fields.choice(choices.DUE_WHAT)
    due_at = serializers.DateTimeField()
    state = fields.choice(choices.DUE_STATES)
    days = serializers.IntegerField()

    class Meta:
        ref_name = "Due"


class DueListShape(shape.Shape):
    """All that is due, longest overdue first."""

    results = DueShape(many=True)

    class Meta:
        ref_name = "DueList"
