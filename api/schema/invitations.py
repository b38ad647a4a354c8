"""Invitations."""

from rest_framework import serializers

from api.schema import choices, fields, shape
from api.schema.people import PersonShape


class InvitationIn(shape.Shape):
    """A grant for whoever reads mail at an address; its fields are those of a grant."""

    id = serializers.UUIDField(required=False)
    email = serializers.EmailField()
    hours = serializers.IntegerField(
        required=False,
        min_value=1,
        max_value=choices.INVITATION_HOURS,
        help_text="For how long the link opens; 72 where nothing is said.",
    )
    role = fields.choice(choices.GRANTED_ROLES)
    yards = fields.AllOrRefs(required=False)
    horses = serializers.ListField(child=serializers.UUIDField(), required=False)
    until = serializers.DateTimeField(required=False, allow_null=True)
    reason = serializers.CharField(required=False)
    registration_number = serializers.CharField(required=False)
    register = serializers.CharField(required=False)
    record_from = serializers.DateTimeField(required=False, allow_null=True)
    record_until = serializers.DateTimeField(required=False, allow_null=True)
    sees_contacts = serializers.BooleanField(required=False)
    sees_clinical = serializers.BooleanField(required=False)
    sees_notes = serializers.BooleanField(required=False)

    class Meta:
        ref_name = "InvitationIn"

    reserved = {"from": serializers.DateTimeField(required=False)}


class InvitationActIn(shape.Shape):
    """Why, for the record; nothing is needed."""

    reason = serializers.CharField(required=False)

    class Meta:
        ref_name = "InvitationActIn"


class InvitationShape(shape.Shape):
    """An invitation, past or present. ``expires_at`` is when its link ends."""

    id = serializers.UUIDField()
    email = serializers.CharField(
        help_text="An e-mail address; the alias of somebody who was erased."
    )
    role = fields.choice(choices.GRANTED_ROLES)
    yards = fields.AllOrRefs()
    horses = serializers.ListField(child=serializers.UUIDField())
    until = serializers.DateTimeField(allow_null=True)
    reason = serializers.CharField(allow_blank=True)
    registration_number = serializers.CharField(allow_blank=True)
    register = serializers.CharField(allow_blank=True)
    record_from = serializers.DateTimeField(allow_null=True)
    record_until = serializers.DateTimeField(allow_null=True)
    sees_contacts = serializers.BooleanField()
    sees_clinical = serializers.BooleanField()
    sees_notes = serializers.BooleanField()
    invited_by = PersonShape()
    invited_at = serializers.DateTimeField()
    expires_at = serializers.DateTimeField()
    sent_at = serializers.DateTimeField(allow_null=True)
    accepted_at = serializers.DateTimeField(allow_null=True)
    accepted_by = PersonShape(allow_null=True)
    withdrawn_at = serializers.DateTimeField(allow_null=True)
    state = fields.choice(choices.INVITATION_STATES)

    class Meta:
        ref_name = "Invitation"

    reserved = {"from": serializers.DateTimeField(allow_null=True)}
