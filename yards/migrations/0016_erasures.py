"""Erasures: who is called by an alias, which payloads went, which accounts are asked about.

An erasure is seen by its organisation, and by the person it is of: so that the worker, which asks
in a person's place, sees whether every organisation that knew them has forgotten them.
"""

import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models

from yards.migrations import _tenancy as tenancy


class Migration(migrations.Migration):
    dependencies = [
        ("yards", "0015_walls_of_sight"),
    ]

    operations = [
        migrations.CreateModel(
            name="Emptying",
            fields=[
                ("id", models.UUIDField(primary_key=True, serialize=False)),
                ("due_at", models.DateTimeField()),
            ],
        ),
        migrations.CreateModel(
            name="Erasure",
            fields=[
                ("id", models.BigAutoField(primary_key=True, serialize=False)),
                ("ref", models.UUIDField(editable=False)),
                ("number", models.PositiveIntegerField()),
                ("alias", models.CharField(max_length=60)),
                ("at", models.DateTimeField()),
                ("reason", models.CharField(max_length=300)),
                (
                    "by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "organisation",
                    models.ForeignKey(
                        db_index=False,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="yards.organisation",
                    ),
                ),
                (
                    "person",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
            ],
            options={
                "abstract": False,
            },
        ),
        migrations.CreateModel(
            name="ErasedPayload",
            fields=[
                ("id", models.BigAutoField(primary_key=True, serialize=False)),
                ("ref", models.UUIDField(editable=False)),
                (
                    "entry",
                    models.ForeignKey(
                        db_constraint=False,
                        db_index=False,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="yards.entry",
                    ),
                ),
                (
                    "organisation",
                    models.ForeignKey(
                        db_index=False,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="yards.organisation",
                    ),
                ),
                (
                    "erasure",
                    models.ForeignKey(
                        db_constraint=False,
                        db_index=False,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="yards.erasure",
                    ),
                ),
            ],
            options={
                "abstract": False,
            },
        ),
        migrations.AddConstraint(
            model_name="erasure",
            constraint=models.UniqueConstraint(
                fields=("organisation", "ref"), name="yards_erasure_ref"
            ),
        ),
        migrations.AddConstraint(
            model_name="erasure",
            constraint=models.UniqueConstraint(
                fields=("organisation", "person"), name="yards_erasure_once_a_person"
            ),
        ),
        migrations.AddConstraint(
            model_name="erasure",
            constraint=models.UniqueConstraint(
                fields=("organisation", "number"), name="yards_erasure_number"
            ),
        ),
        migrations.AddConstraint(
            model_name="erasure",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    models.Q(("reason", ""), _negated=True), models.Q(("alias", ""), _negated=True)
                ),
                name="yards_erasure_says_why",
            ),
        ),
        migrations.AddConstraint(
            model_name="erasure",
            constraint=models.CheckConstraint(
                condition=models.Q(("by", models.F("person")), _negated=True),
                name="yards_erasure_by_another",
            ),
        ),
        migrations.AddConstraint(
            model_name="erasedpayload",
            constraint=models.UniqueConstraint(
                fields=("organisation", "ref"), name="yards_erasedpayload_ref"
            ),
        ),
        migrations.AddConstraint(
            model_name="erasedpayload",
            constraint=models.UniqueConstraint(
                fields=("organisation", "entry"), name="yards_erasedpayload_once_an_entry"
            ),
        ),
        tenancy.door("yards_erasure", f"person_id = {tenancy.PERSON}", append_only=True),
        tenancy.tenant("yards_erasedpayload", append_only=True),
        tenancy.person("yards_emptying"),
        tenancy.tie("yards_erasedpayload", "erasure_id", "yards_erasure"),
        tenancy.tie("yards_erasedpayload", "entry_id", "yards_entry"),
        tenancy.never("yards_erasure", "UPDATE", "DELETE", "TRUNCATE"),
        tenancy.never("yards_erasedpayload", "UPDATE", "DELETE", "TRUNCATE"),
        tenancy.erasable("yards_entrypayload", "yards_erasedpayload", "entry_id"),
    ]
