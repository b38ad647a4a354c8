"""Yards."""

from rest_framework import serializers

from api.schema import choices, fields, shape

_CLOCK = r"^[0-9]{2}:[0-9]{2}$"


class SpringShape(shape.Shape):
    """First and last day as MM-DD, both included; may wrap the year."""

    first = serializers.RegexField(r"^[0-9]{2}-[0-9]{2}$")
    last = serializers.RegexField(r"^[0-9]{2}-[0-9]{2}$")

    class Meta:
        ref_name = "Spring"


class VetShape(shape.Shape):
    """Whom to ring."""

    practice = serializers.CharField(allow_blank=True)
    phone = serializers.CharField(allow_blank=True)
    out_of_hours_phone = serializers.CharField(allow_blank=True)
    second_phone = serializers.CharField(allow_blank=True)

    class Meta:
        ref_name = "Vet"


class QuietShape(shape.Shape):
    """When only urgent messages go, in yard time."""

    class Meta:
        ref_name = "QuietHours"

    reserved = {"from": serializers.RegexField(_CLOCK), "to": serializers.RegexField(_CLOCK)}


class YardShape(shape.Shape):
    """A yard. ``spring`` null: the meteorological spring of the hemisphere."""

    id = serializers.UUIDField()
    name = serializers.CharField()
    time_zone = serializers.CharField(help_text="IANA name.")
    hemisphere = fields.choice(choices.HEMISPHERES)
    spring = SpringShape(allow_null=True)
    vet = VetShape()
    quiet_hours = QuietShape(allow_null=True)
    created_at = serializers.DateTimeField()
    version = serializers.IntegerField()

    class Meta:
        ref_name = "Yard"


class YardIn(shape.Shape):
    """A yard to add."""

    id = serializers.UUIDField(required=False)
    name = serializers.CharField()
    time_zone = serializers.CharField()
    hemisphere = fields.choice(choices.HEMISPHERES)
    spring = SpringShape(allow_null=True, required=False)
    vet = VetShape(required=False)
    quiet_hours = QuietShape(allow_null=True, required=False)

    class Meta:
        ref_name = "YardIn"


class YardChange(shape.Shape):
    """What is to change. ``version`` is the one you saw."""

    name = serializers.CharField(required=False)
    time_zone = serializers.CharField(required=False)
    hemisphere = fields.choice(choices.HEMISPHERES, required=False)
    spring = SpringShape(allow_null=True, required=False)
    vet = VetShape(required=False)
    quiet_hours = QuietShape(allow_null=True, required=False)
    version = serializers.IntegerField()

    class Meta:
        ref_name = "YardChange"
