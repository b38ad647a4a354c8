"""Invitations."""

from rest_framework import serializers

from api.schema import choices, fields, shape
from api.schema.people import OfferIn, OfferShape, PersonShape


class InvitationIn(OfferIn):
    """A grant for whoever reads mail at an address; its fields are those of a grant."""

    email = serializers.EmailField()
    hours = serializers.IntegerField(
        required=False,
        min_value=1,
        max_value=choices.INVITATION_HOURS,
        help_text="For how long each link opens, one sent again too; 72 where nothing is said.",
    )

    class Meta:
        ref_name = "InvitationIn"


class InvitationActIn(shape.Shape):
    """Why, for the record; nothing is needed."""

    reason = serializers.CharField(required=False)

    class Meta:
        ref_name = "InvitationActIn"


class InvitationShape(OfferShape):
    """An invitation, past or present. ``expires_at`` is when its link ends."""

    email = serializers.CharField(
        help_text="An e-mail address; the alias of somebody who was erased."
    )
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
