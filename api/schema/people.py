"""Oneself, and grants."""

from rest_framework import serializers

from api.schema import choices, fields, shape


class PersonShape(shape.Shape):
    """A person by id and name."""

    id = serializers.UUIDField()
    name = serializers.CharField()

    class Meta:
        ref_name = "Person"


class SelfShape(PersonShape):
    """The person behind the token or session."""

    email = serializers.EmailField()
    language = serializers.CharField()

    class Meta:
        ref_name = "Self"


class ScopeShape(shape.Shape):
    """What may be seen."""

    yards = fields.AllOrRefs()
    horses = serializers.ListField(child=serializers.UUIDField())

    class Meta:
        ref_name = "Scope"


class OrganisationShape(PersonShape):
    """The organisation; ``overall_rule`` says which overall it reads first. Both are answered."""

    overall_rule = fields.choice(choices.OVERALL_RULES)

    class Meta:
        ref_name = "Organisation"


class MeShape(shape.Shape):
    """Who asks. ``expiry`` null: no end is set."""

    person = SelfShape(allow_null=True)
    organisation = OrganisationShape()
    role = fields.choice(choices.ROLES)
    scope = ScopeShape()
    expiry = serializers.DateTimeField(allow_null=True)

    class Meta:
        ref_name = "Me"


class OfferIn(shape.Shape):
    """What a grant opens, as it is asked for: given to a person, or offered to an address."""

    id = serializers.UUIDField(required=False)
    role = fields.choice(choices.GRANTED_ROLES)
    yards = fields.AllOrRefs(required=False)
    horses = serializers.ListField(child=serializers.UUIDField(), required=False)
    until = serializers.DateTimeField(required=False, allow_null=True)
    reason = serializers.CharField(required=False)
    registration_number = serializers.CharField(required=False)
    register = serializers.CharField(required=False)
    record_from = serializers.DateTimeField(
        required=False, allow_null=True, help_text="For an auditor: nothing taken before is seen."
    )
    record_until = serializers.DateTimeField(
        required=False, allow_null=True, help_text="For an auditor: nothing taken then or after."
    )
    sees_contacts = serializers.BooleanField(required=False)
    sees_clinical = serializers.BooleanField(required=False)
    sees_notes = serializers.BooleanField(required=False)

    reserved = {"from": serializers.DateTimeField(required=False)}


class OfferShape(shape.Shape):
    """What a grant opens, as it stands."""

    id = serializers.UUIDField()
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


class GrantIn(OfferIn):
    """A role for a person. ``registration_number`` and ``register`` are required for a vet."""

    person = serializers.CharField(help_text="An id, or the e-mail address of somebody new.")
    name = serializers.CharField(required=False, help_text="Of somebody new.")

    class Meta:
        ref_name = "GrantIn"


class GrantShape(OfferShape):
    """A grant, past or present."""

    person = serializers.UUIDField()
    person_name = serializers.CharField()
    email = serializers.CharField(
        allow_blank=True, help_text="An e-mail address; empty of somebody who was erased."
    )
    confirmed_at = serializers.DateTimeField(allow_null=True)
    issued_by = PersonShape(allow_null=True)
    issued_at = serializers.DateTimeField()
    revoked_at = serializers.DateTimeField(allow_null=True)
    state = fields.choice(choices.GRANT_STATES)

    class Meta:
        ref_name = "Grant"

    reserved = {"from": serializers.DateTimeField()}


class RevokeIn(shape.Shape):
    """Why a grant ends now."""

    reason = serializers.CharField()

    class Meta:
        ref_name = "RevokeIn"
