"""Escalation policies, who is away, and what is said about an alert beside the answers."""

from rest_framework import serializers

from api.schema import choices, fields, shape
from api.schema.people import PersonShape


class StepShape(shape.Shape):
    """One step: how long after the ladder began, and who is told then."""

    after_minutes = serializers.IntegerField(
        help_text="Of urgent every minute counts, of the rest the yard's waking hours."
    )
    roles = serializers.ListField(child=fields.choice(choices.HEARERS))
    people = serializers.ListField(child=serializers.UUIDField())

    class Meta:
        ref_name = "EscalationStep"


class StepIn(shape.Shape):
    """One step, as it is set: it names a role or a person."""

    after_minutes = serializers.IntegerField()
    roles = serializers.ListField(child=fields.choice(choices.HEARERS), required=False)
    people = serializers.ListField(child=serializers.UUIDField(), required=False)

    class Meta:
        ref_name = "EscalationStepIn"


class PolicyShape(shape.Shape):
    """The ladder of one severity; without steps nobody is told but by the morning's summary."""

    severity = fields.choice(choices.SEVERITIES)
    steps = StepShape(many=True)
    repeat_minutes = serializers.IntegerField(
        help_text="The last step again, until somebody answers."
    )
    words = serializers.ListField(child=serializers.CharField())
    is_own = serializers.BooleanField(help_text="Set by the organisation, else the default.")
    reason = serializers.CharField(allow_blank=True, help_text="Of the last change.")
    set_by = PersonShape(allow_null=True)
    set_at = serializers.DateTimeField(allow_null=True)
    version = serializers.IntegerField()

    class Meta:
        ref_name = "EscalationPolicy"


class PoliciesShape(shape.Shape):
    """All three, gravest first."""

    results = PolicyShape(many=True)

    class Meta:
        ref_name = "EscalationPolicies"


class PolicyChange(shape.Shape):
    """The whole ladder as it is to be."""

    steps = StepIn(many=True)
    repeat_minutes = serializers.IntegerField(required=False)
    reason = serializers.CharField()
    version = serializers.IntegerField()
    accept_unreached = serializers.BooleanField(
        required=False,
        allow_null=True,
        help_text="Save although a step reaches nobody in some yard now: coordinators stand in.",
    )

    class Meta:
        ref_name = "EscalationPolicyChange"


class PolicyTry(shape.Shape):
    """A ladder to try, for an alert opened at an instant (now) in a yard (the first by name)."""

    steps = StepIn(many=True)
    repeat_minutes = serializers.IntegerField(required=False)
    at = serializers.DateTimeField(required=False, allow_null=True)
    yard = serializers.UUIDField(required=False, allow_null=True)

    class Meta:
        ref_name = "EscalationPolicyTry"


class MomentShape(shape.Shape):
    """One moment of the ladder, and who would be told as things are now."""

    at = serializers.DateTimeField()
    step = serializers.IntegerField(help_text="From 0.")
    is_repeat = serializers.BooleanField()
    people = PersonShape(many=True)

    class Meta:
        ref_name = "EscalationMoment"


class UnreachedShape(shape.Shape):
    """A step that reaches nobody as things are now, by the names of the yards."""

    step = serializers.IntegerField()
    yards = serializers.ListField(child=serializers.CharField())

    class Meta:
        ref_name = "EscalationUnreached"


class PolicyPreviewShape(shape.Shape):
    """What an alert that nobody answers would come to, with two repeats."""

    yard = serializers.UUIDField(allow_null=True)
    opened_at = serializers.DateTimeField()
    moments = MomentShape(many=True)
    unreached = UnreachedShape(many=True)

    class Meta:
        ref_name = "EscalationPreview"


class AbsenceIn(shape.Shape):
    """Who is away until when: oneself, or, said by a coordinator, somebody else."""

    id = serializers.UUIDField(required=False)
    person = serializers.UUIDField(required=False, allow_null=True)
    until = serializers.DateTimeField(help_text="Within a year.")
    reason = serializers.CharField(required=False)

    class Meta:
        ref_name = "AbsenceIn"

    reserved = {"from": serializers.DateTimeField(required=False, allow_null=True)}


class AbsenceEnd(shape.Shape):
    """Why, if others should know; nothing is needed."""

    reason = serializers.CharField(required=False)

    class Meta:
        ref_name = "AbsenceEnd"


class AbsenceShape(shape.Shape):
    """An absence. While anybody else can be told, whoever is away is not."""

    id = serializers.UUIDField()
    person = PersonShape()
    until = serializers.DateTimeField()
    reason = serializers.CharField(allow_blank=True)
    set_by = PersonShape()
    ended_at = serializers.DateTimeField(allow_null=True)

    class Meta:
        ref_name = "Absence"

    reserved = {"from": serializers.DateTimeField()}


class AssignIn(shape.Shape):
    """Whose the alert is to be: somebody who may answer alerts of this horse."""

    person = serializers.UUIDField()
    version = serializers.IntegerField(required=False)

    class Meta:
        ref_name = "AssignIn"


class CommentIn(shape.Shape):
    """Words about an alert; the same id and text again is the same comment."""

    id = serializers.UUIDField(required=False)
    text = serializers.CharField()

    class Meta:
        ref_name = "CommentIn"


class CommentShape(shape.Shape):
    """A comment."""

    id = serializers.UUIDField()
    alert = serializers.UUIDField()
    at = serializers.DateTimeField()
    by = PersonShape(allow_null=True)
    text = serializers.CharField()

    class Meta:
        ref_name = "Comment"


class CommentsShape(shape.Shape):
    """The comments on one alert, oldest first."""

    results = CommentShape(many=True)

    class Meta:
        ref_name = "Comments"
