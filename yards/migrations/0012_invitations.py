"""Invitations, the mail about signing in, and whether an organisation asks for a second factor.

An invitation is seen inside its organisation, and by whoever presents the link's token: as a token
is. The mail belongs to no organisation: a row names one, and holds no key that lets anybody in.
"""

from typing import Any

import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models
from django.db.models import F, Q

from yards.migrations import _tenancy as tenancy


def _person(*, null: bool = False) -> "models.ForeignKey[Any, Any]":
    return models.ForeignKey(
        null=null,
        on_delete=django.db.models.deletion.PROTECT,
        related_name="+",
        to=settings.AUTH_USER_MODEL,
    )


def _tied(
    to: str, *, null: bool = False, db_constraint: bool = True
) -> "models.ForeignKey[Any, Any]":
    return models.ForeignKey(
        db_constraint=db_constraint,
        db_index=False,
        null=null,
        on_delete=django.db.models.deletion.PROTECT,
        related_name="+",
        to=to,
    )


def _letter() -> migrations.CreateModel:
    return migrations.CreateModel(
        name="Letter",
        fields=[
            ("id", models.UUIDField(primary_key=True, serialize=False)),
            ("kind", models.CharField(max_length=16)),
            ("organisation", models.UUIDField(null=True)),
            ("about", models.UUIDField(null=True)),
            ("email", models.CharField(blank=True, max_length=254)),
            ("said", models.JSONField(default=dict)),
            ("due_at", models.DateTimeField()),
            ("created_at", models.DateTimeField()),
            ("attempts", models.PositiveSmallIntegerField(default=0)),
        ],
        options={
            "indexes": [models.Index(fields=["due_at"], name="yards_letter_due")],
            "constraints": [
                models.CheckConstraint(
                    name="yards_letter_kind",
                    condition=Q(
                        kind="invitation", organisation__isnull=False, about__isnull=False, email=""
                    )
                    | (
                        Q(kind__in=["new_password", "told"], organisation__isnull=True)
                        & ~Q(email="")
                    ),
                )
            ],
        },
    )


def _invitation() -> migrations.CreateModel:
    return migrations.CreateModel(
        name="Invitation",
        fields=[
            ("id", models.BigAutoField(primary_key=True, serialize=False)),
            ("ref", models.UUIDField(editable=False)),
            ("email", models.EmailField(max_length=254)),
            ("role", models.CharField(max_length=16)),
            ("body", models.JSONField()),
            ("invited_at", models.DateTimeField()),
            ("digest", models.BinaryField(max_length=32, null=True, unique=True)),
            ("link", models.PositiveSmallIntegerField(default=1)),
            ("expires_at", models.DateTimeField()),
            ("sent_at", models.DateTimeField(null=True)),
            ("accepted_at", models.DateTimeField(null=True)),
            ("revoked_at", models.DateTimeField(null=True)),
            ("accepted_by", _person(null=True)),
            ("grant", _tied("yards.grant", null=True, db_constraint=False)),
            ("invited_by", _person()),
            ("organisation", _tied("yards.organisation")),
            ("revoked_by", _person(null=True)),
        ],
        options={"abstract": False, "constraints": _constraints()},
    )


def _constraints() -> list[models.BaseConstraint]:
    return [
        models.UniqueConstraint(fields=["organisation", "ref"], name="yards_invitation_ref"),
        models.CheckConstraint(
            name="yards_invitation_role",
            condition=Q(role__in=["coordinator", "assessor", "vet", "auditor"]),
        ),
        models.CheckConstraint(
            name="yards_invitation_ends_after_it_begins",
            condition=Q(expires_at__gt=F("invited_at")),
        ),
        models.CheckConstraint(
            name="yards_invitation_accepted_or_revoked",
            condition=Q(accepted_at__isnull=True) | Q(revoked_at__isnull=True),
        ),
        models.CheckConstraint(
            name="yards_invitation_accepted_by_somebody",
            condition=Q(accepted_at__isnull=True, accepted_by__isnull=True, grant__isnull=True)
            | Q(accepted_at__isnull=False, accepted_by__isnull=False, grant__isnull=False),
        ),
    ]


class Migration(migrations.Migration):
    dependencies = [("yards", "0011_pulses")]

    operations = [
        migrations.AddField(
            model_name="organisation",
            name="second_factor",
            field=models.BooleanField(db_default=False, default=False),
        ),
        _letter(),
        _invitation(),
        tenancy.person("yards_letter"),
        tenancy.door("yards_invitation", f"digest = {tenancy.PRESENTED}"),
        tenancy.tie("yards_invitation", "grant_id", "yards_grant"),
    ]
