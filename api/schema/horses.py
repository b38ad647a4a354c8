"""Horses, donkeys and mules, and what happens to them."""

from rest_framework import serializers

from api.schema import choices, fields, shape
from api.schema.people import PersonShape

_BORN = r"^[0-9]{4}(-[0-9]{2}-[0-9]{2})?$"


class HorseShape(shape.Shape):
    """An animal. ``born`` is null, a year or a day; ``yard`` is where it stands now."""

    id = serializers.UUIDField()
    name = serializers.CharField()
    yard = serializers.UUIDField()
    species = fields.choice(choices.SPECIES)
    kind = fields.choice(choices.KINDS, allow_null=True)
    sex = fields.choice(choices.SEXES, allow_null=True)
    born = serializers.RegexField(_BORN, allow_null=True)
    born_basis = fields.choice(choices.BORN_BASIS, allow_null=True)
    height_cm = fields.DecimalOut(allow_null=True)
    use = fields.choice(choices.USES)
    breeding = fields.choice(choices.BREEDING, allow_null=True)
    laminitis = fields.choice(choices.LAMINITIS)
    endocrine = fields.choice(choices.ENDOCRINE)
    transponder = serializers.CharField(allow_null=True)
    ueln = serializers.CharField(allow_null=True)
    handling = serializers.CharField(
        allow_blank=True, help_text="What whoever goes up to it must know."
    )
    status = fields.choice(choices.STATUSES)
    ended_at = serializers.DateTimeField(allow_null=True)
    is_unknown = serializers.BooleanField()
    merged_into = serializers.UUIDField(allow_null=True)
    created_at = serializers.DateTimeField()
    version = serializers.IntegerField()

    class Meta:
        ref_name = "Horse"


class _Facts(shape.Shape):
    kind = fields.choice(choices.KINDS, required=False, allow_null=True)
    sex = fields.choice(choices.SEXES, required=False, allow_null=True)
    born = serializers.RegexField(_BORN, required=False, allow_null=True)
    born_basis = fields.choice(choices.BORN_BASIS, required=False, allow_null=True)
    height_cm = fields.DecimalIn(required=False, allow_null=True)
    use = fields.choice(choices.USES, required=False, allow_null=True)
    breeding = fields.choice(choices.BREEDING, required=False, allow_null=True)
    laminitis = fields.choice(choices.LAMINITIS, required=False, allow_null=True)
    endocrine = fields.choice(choices.ENDOCRINE, required=False, allow_null=True)
    transponder = serializers.CharField(required=False, allow_null=True)
    ueln = serializers.CharField(required=False, allow_null=True)
    handling = serializers.CharField(required=False, allow_null=True)
    is_unknown = serializers.BooleanField(required=False)


class HorseIn(_Facts):
    """An animal to register; ``is_unknown`` for one that nobody can name yet."""

    id = serializers.UUIDField(required=False)
    name = serializers.CharField()
    yard = serializers.UUIDField()
    species = fields.choice(choices.SPECIES)
    status = fields.choice(choices.NEW_STATUSES, required=False)
    arrived_at = serializers.DateTimeField(required=False, allow_null=True)

    class Meta:
        ref_name = "HorseIn"


class HorseChange(_Facts):
    """What is to change. ``version`` is the one you saw; a yard changes by a move.

    ``handling`` may be changed by whoever records; the rest by coordinators.
    """

    name = serializers.CharField(required=False)
    status = fields.choice(choices.STATUSES[:-1], required=False)
    ended_at = serializers.DateTimeField(required=False, allow_null=True)
    version = serializers.IntegerField()

    class Meta:
        ref_name = "HorseChange"


class MoveIn(shape.Shape):
    """Where it goes, and when; now, unless said."""

    id = serializers.UUIDField(required=False)
    yard = serializers.UUIDField()
    at = serializers.DateTimeField(required=False, allow_null=True)

    class Meta:
        ref_name = "MoveIn"


class MergeIn(shape.Shape):
    """The known animal that this unknown one turned out to be."""

    into = serializers.UUIDField()
    reason = serializers.CharField(required=False)

    class Meta:
        ref_name = "MergeIn"


class EventIn(shape.Shape):
    """Something that happened."""

    id = serializers.UUIDField(required=False)
    kind = fields.choice(choices.EVENTS)
    at = serializers.DateTimeField()
    note = serializers.CharField(required=False)

    class Meta:
        ref_name = "EventIn"


class EventShape(shape.Shape):
    """An event. ``horse`` may be an animal that was merged into the one asked about."""

    id = serializers.UUIDField()
    horse = serializers.UUIDField()
    kind = fields.choice(choices.EVENTS)
    at = serializers.DateTimeField()
    note = serializers.CharField(allow_blank=True)
    recorded_by = PersonShape(allow_null=True)
    recorded_at = serializers.DateTimeField()

    class Meta:
        ref_name = "Event"
