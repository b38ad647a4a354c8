"""The ledger."""

from rest_framework import serializers

from api.schema import fields, shape


class TargetShape(shape.Shape):
    """What an entry is about."""

    kind = serializers.CharField()
    id = serializers.UUIDField(allow_null=True)

    class Meta:
        ref_name = "Target"


class EntryShape(shape.Shape):
    """One entry. ``bytes`` are its RFC 8785 bytes in base64, ``leaf`` their RFC 9162 leaf hash.

    ``index`` is null until the entry is sealed; ``payload`` and ``salt`` are null once erased.
    """

    entry = serializers.UUIDField()
    index = serializers.IntegerField(allow_null=True)
    bytes = serializers.CharField()
    leaf = serializers.RegexField(r"^[0-9a-f]{64}$")
    at = serializers.DateTimeField()
    actor = serializers.CharField()
    actor_name = serializers.CharField(allow_blank=True)
    via = serializers.CharField()
    verb = serializers.CharField()
    target = TargetShape()
    salt = serializers.RegexField(r"^[0-9a-f]*$", allow_null=True)
    payload = fields.Anything()

    class Meta:
        ref_name = "Entry"
