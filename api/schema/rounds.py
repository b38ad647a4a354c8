"""Rounds: what a phone takes along, what it opens after the hand, and the walking order."""

from rest_framework import serializers

from api.schema import choices, fields, shape
from api.schema.people import PersonShape
from api.schema.readings import BandShape, InstrumentShape, RegionsShape
from api.schema.weight_formulas import FormulaShape
from api.schema.yards import VetShape


class RoundYardShape(shape.Shape):
    """The yard that is walked."""

    id = serializers.UUIDField()
    name = serializers.CharField()
    time_zone = serializers.CharField(help_text="IANA name.")

    class Meta:
        ref_name = "RoundYard"


class RoundDueShape(shape.Shape):
    """When score and weight fall due; the state is the graver of the two."""

    score_at = serializers.DateTimeField()
    weight_at = serializers.DateTimeField()
    state = fields.choice(choices.DUE_STATES)

    class Meta:
        ref_name = "RoundDue"


class RoundHorseShape(shape.Shape):
    """A horse on the walk, ``order`` counted from 1. ``caution`` is its note on handling."""

    id = serializers.UUIDField()
    name = serializers.CharField()
    species = fields.choice(choices.SPECIES)
    kind = fields.choice(choices.KINDS, allow_null=True)
    sex = fields.choice(choices.SEXES, allow_null=True)
    use = fields.choice(choices.USES)
    breeding = fields.choice(choices.BREEDING, allow_null=True)
    born = serializers.CharField(allow_null=True)
    height_cm = fields.DecimalOut(allow_null=True)
    is_unknown = serializers.BooleanField()
    scale = fields.choice(choices.SCALES)
    order = serializers.IntegerField()
    due = RoundDueShape()
    caution = serializers.CharField(allow_blank=True)
    foal_at_foot = serializers.BooleanField()

    class Meta:
        ref_name = "RoundHorse"


class RoundShape(shape.Shape):
    """A round to take along. Nothing in it anchors the hand: no score, no band, no alert.

    ``overall_rule`` says which overall the organisation reads first.
    """

    yard = RoundYardShape()
    vet = VetShape()
    made_at = serializers.DateTimeField()
    person = PersonShape()
    organisation = serializers.UUIDField()
    overall_rule = fields.choice(choices.OVERALL_RULES)
    horses = RoundHorseShape(many=True)
    instruments = InstrumentShape(many=True)
    formulas = FormulaShape(many=True)

    class Meta:
        ref_name = "Round"


class LastScoreShape(shape.Shape):
    """The last score as felt, and the last weight. ``regions`` null: scored as a whole."""

    at = serializers.DateTimeField()
    overall = fields.DecimalOut(allow_null=True)
    regions = RegionsShape(allow_null=True)
    scale = fields.choice(choices.SCALES)
    weight_kg = fields.DecimalOut(allow_null=True)
    weighed_at = serializers.DateTimeField(allow_null=True)

    class Meta:
        ref_name = "LastScore"


class ScaledBandShape(BandShape):
    """The target band in points of a scale."""

    scale = fields.choice(choices.SCALES)

    class Meta:
        ref_name = "ScaledBand"


class AfterAlertShape(shape.Shape):
    """An alert that is not resolved and not of lateness. We never diagnose: phone the vet."""

    title = serializers.CharField()
    severity = fields.choice(choices.SEVERITIES)
    advice = serializers.CharField()

    class Meta:
        ref_name = "AfterAlert"


class AfterHorseShape(shape.Shape):
    """What a horse's new score is held against, once every region of it has one."""

    id = serializers.UUIDField()
    last = LastScoreShape(allow_null=True)
    band = ScaledBandShape()
    place = fields.choice(choices.PLACES, allow_null=True)
    open_alerts = AfterAlertShape(many=True)
    next_due_days = serializers.IntegerField()

    class Meta:
        ref_name = "AfterHorse"


class AfterRoundShape(shape.Shape):
    """Kept apart from the round, and opened for a horse only when the hand has felt it.

    A condition score describes fat cover. It is not a diagnosis.
    """

    horses = AfterHorseShape(many=True)

    class Meta:
        ref_name = "AfterRound"


class WalkIn(shape.Shape):
    """The horses of a yard in the order they are walked; those left out come last, by name."""

    horses = serializers.ListField(child=serializers.UUIDField())
    version = serializers.IntegerField()

    class Meta:
        ref_name = "WalkIn"


class WalkShape(shape.Shape):
    """The horses that are here, in walking order."""

    yard = serializers.UUIDField()
    horses = serializers.ListField(child=serializers.UUIDField())
    version = serializers.IntegerField()

    class Meta:
        ref_name = "Walk"
