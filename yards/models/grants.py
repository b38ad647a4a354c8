"""What lets a person, or a device, into an organisation: grants and tokens."""

from django.conf import settings
from django.db import models
from django.db.models import F, Q

from yards.models.base import Owned
from yards.models.horses import Horse
from yards.models.organisations import Yard


class Grant(Owned):
    """A role for a person in an organisation, for all yards, some yards or named horses."""

    person = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    role = models.CharField(max_length=16)
    all_yards = models.BooleanField(default=False)
    from_at = models.DateTimeField()
    until_at = models.DateTimeField(null=True)
    reason = models.CharField(max_length=300, blank=True)
    issued_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, on_delete=models.PROTECT, related_name="+"
    )
    issued_at = models.DateTimeField()
    revoked_at = models.DateTimeField(null=True)
    revoked_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, on_delete=models.PROTECT, related_name="+"
    )
    # A vet's number and the register that holds it; confirmed by the vet's own sign-in.
    registration_number = models.CharField(max_length=40, blank=True)
    register = models.CharField(max_length=80, blank=True)
    confirmed_at = models.DateTimeField(null=True)
    # An auditor's: which part of the record, by when it was taken, and what besides animal facts.
    record_from = models.DateTimeField(null=True)
    record_until = models.DateTimeField(null=True)
    sees_contacts = models.BooleanField(default=False, db_default=False)
    sees_clinical = models.BooleanField(default=False, db_default=False)
    sees_notes = models.BooleanField(default=False, db_default=False)
    content_digest = models.BinaryField(max_length=32)

    class Meta(Owned.Meta):
        indexes = [models.Index(fields=["organisation", "person"], name="yards_grant_of")]
        constraints = [
            *Owned.Meta.constraints,
            models.CheckConstraint(
                name="yards_grant_role",
                condition=Q(role__in=["coordinator", "assessor", "vet", "auditor"]),
            ),
            models.CheckConstraint(
                name="yards_grant_ends_after_it_begins",
                condition=Q(until_at__isnull=True) | Q(until_at__gt=F("from_at")),
            ),
            models.CheckConstraint(
                name="yards_grant_vet_is_registered",
                condition=~Q(role="vet") | (~Q(registration_number="") & ~Q(register="")),
            ),
            models.CheckConstraint(
                name="yards_grant_sight_is_an_auditors",
                condition=Q(role="auditor")
                | Q(
                    record_from__isnull=True,
                    record_until__isnull=True,
                    sees_contacts=False,
                    sees_clinical=False,
                    sees_notes=False,
                ),
            ),
            models.CheckConstraint(
                name="yards_grant_record_ends_after_it_begins",
                condition=Q(record_from__isnull=True)
                | Q(record_until__isnull=True)
                | Q(record_until__gt=F("record_from")),
            ),
            models.CheckConstraint(
                name="yards_grant_never_by_its_holder",
                condition=Q(issued_by__isnull=True) | ~Q(role="vet") | ~Q(issued_by=F("person")),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.role} {self.ref}"


class GrantYard(Owned):
    """A yard that a grant names."""

    grant = models.ForeignKey(
        Grant, on_delete=models.PROTECT, db_constraint=False, db_index=False, related_name="yards"
    )
    yard = models.ForeignKey(
        Yard, on_delete=models.PROTECT, db_constraint=False, db_index=False, related_name="+"
    )

    class Meta(Owned.Meta):
        constraints = [
            *Owned.Meta.constraints,
            models.UniqueConstraint(
                fields=["organisation", "grant", "yard"], name="yards_grantyard_once"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.grant_id} in {self.yard_id}"


class GrantHorse(Owned):
    """A horse that a grant names, wherever it stands."""

    grant = models.ForeignKey(
        Grant, on_delete=models.PROTECT, db_constraint=False, db_index=False, related_name="horses"
    )
    horse = models.ForeignKey(
        Horse, on_delete=models.PROTECT, db_constraint=False, db_index=False, related_name="+"
    )

    class Meta(Owned.Meta):
        constraints = [
            *Owned.Meta.constraints,
            models.UniqueConstraint(
                fields=["organisation", "grant", "horse"], name="yards_granthorse_once"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.grant_id} for {self.horse_id}"


class Token(Owned):
    """A key for a program or a phone. Only its SHA-256 digest is kept.

    ``is_device`` tokens may only append readings and read back their own, whatever the person may.
    """

    person = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    is_device = models.BooleanField(default=False)
    label = models.CharField(max_length=120)
    digest = models.BinaryField(max_length=32, unique=True)
    created_at = models.DateTimeField()
    expires_at = models.DateTimeField()
    revoked_at = models.DateTimeField(null=True)

    class Meta(Owned.Meta):
        constraints = [
            *Owned.Meta.constraints,
            models.CheckConstraint(
                name="yards_token_ends_after_it_begins",
                condition=Q(expires_at__gt=F("created_at")),
            ),
        ]

    def __str__(self) -> str:
        return self.label
