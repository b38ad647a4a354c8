"""Photos."""

from rest_framework import serializers

from api.schema import choices, fields, shape
from api.schema.readings import ReceiptShape, RecordedByShape

_SHA256 = r"^[0-9a-f]{64}$"


class PhotoIn(shape.Shape):
    """A photo to keep: JPEG, PNG or WebP, at most 8 MiB and 25 million pixels.

    ``sha256`` is of the file as you send it, in lower-case hexadecimal digits; a file that does not
    match it broke off on its way and is refused.
    """

    id = serializers.UUIDField(required=False)
    of = fields.choice(choices.PHOTOS_OF)
    of_id = serializers.UUIDField(help_text="The assessment, the concern, or the horse.")
    side = fields.choice(choices.PHOTO_SIDES)
    taken_at = serializers.DateTimeField()
    sent_at = serializers.DateTimeField(required=False)
    sha256 = serializers.RegexField(_SHA256)
    image = fields.FileIn()

    class Meta:
        ref_name = "PhotoIn"


class PhotoShape(shape.Shape):
    """A photo without its image. What is kept is drawn anew: upright, smaller, no metadata."""

    id = serializers.UUIDField()
    of = fields.choice(choices.PHOTOS_OF)
    of_id = serializers.UUIDField()
    horse = serializers.UUIDField()
    side = fields.choice(choices.PHOTO_SIDES)
    taken_at = serializers.DateTimeField()
    sent_at = serializers.DateTimeField(allow_null=True)
    received_at = serializers.DateTimeField()
    corrected_taken_at = serializers.DateTimeField()
    sha256 = serializers.RegexField(_SHA256, help_text="Of the file as it was sent.")
    width = serializers.IntegerField()
    height = serializers.IntegerField()
    recorded_by = RecordedByShape()
    receipt = ReceiptShape()

    class Meta:
        ref_name = "Photo"
