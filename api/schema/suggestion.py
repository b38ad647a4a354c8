"""What findings suggest beside a score, and where a score roughly lies on another scale."""

from rest_framework import serializers

from api.schema import choices, fields, shape


class SuggestedFindingShape(shape.Shape):
    """A finding, and the scores it goes with; null where it is not counted."""

    landmark = serializers.CharField()
    value = serializers.CharField()
    low = fields.DecimalOut(allow_null=True)
    high = fields.DecimalOut(allow_null=True)
    seen = serializers.BooleanField()

    class Meta:
        ref_name = "SuggestedFinding"


class SuggestionReasonShape(shape.Shape):
    """Why, as a key with parameters and in words."""

    key = fields.choice(choices.SUGGESTED)
    params = fields.Words()
    text = serializers.CharField()

    class Meta:
        ref_name = "SuggestionReason"


class SuggestedPlaceShape(shape.Shape):
    """What the findings of one region, or of the whole animal, suggest; null for no score."""

    place = fields.choice(choices.PLACES_FELT)
    low = fields.DecimalOut(allow_null=True)
    high = fields.DecimalOut(allow_null=True)
    findings = SuggestedFindingShape(many=True)
    reasons = SuggestionReasonShape(many=True)

    class Meta:
        ref_name = "SuggestedPlace"


class SuggestionShape(shape.Shape):
    """What the findings suggested when they were recorded. It never set the score.

    ``version`` is that of the table of findings by which it was made.
    """

    version = serializers.IntegerField()
    places = SuggestedPlaceShape(many=True)

    class Meta:
        ref_name = "Suggestion"


class ApproximateShape(shape.Shape):
    """Roughly where the nearest half lies on the other scale, by description only.

    No validated conversion exists. It is never stored, trended or compared with a threshold.
    """

    reserved = {"label": fields.choice(("approximate",))}
    scale = fields.choice(choices.CROSSED_SCALES)
    low = fields.DecimalOut()
    high = fields.DecimalOut()

    class Meta:
        ref_name = "Approximate"
