"""Risk rules in the organisation's hands: its own settings, and exceptions with an end."""

import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models

from yards.migrations import _tenancy as tenancy


class Migration(migrations.Migration):
    dependencies = [
        ("scoring", "0009_vet"),
        ("yards", "0010_board"),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = [
        migrations.AddField(
            model_name="alert",
            name="unasked_since",
            field=models.DateTimeField(null=True),
        ),
        migrations.CreateModel(
            name="RuleException",
            fields=[
                ("id", models.BigAutoField(primary_key=True, serialize=False)),
                ("ref", models.UUIDField(editable=False)),
                ("rule", models.CharField(max_length=32)),
                ("is_on", models.BooleanField(default=True)),
                ("thresholds", models.JSONField(default=dict)),
                ("reason", models.CharField(max_length=500)),
                ("given_at", models.DateTimeField()),
                ("until_at", models.DateTimeField()),
                ("ended_at", models.DateTimeField(null=True)),
                ("end_reason", models.CharField(blank=True, max_length=500)),
                ("content_digest", models.BinaryField(max_length=32)),
                (
                    "ended_by",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "given_by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "horse",
                    models.ForeignKey(
                        db_constraint=False,
                        db_index=False,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="yards.horse",
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
                    "yard",
                    models.ForeignKey(
                        db_constraint=False,
                        db_index=False,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="yards.yard",
                    ),
                ),
            ],
            options={
                "abstract": False,
                "indexes": [
                    models.Index(
                        condition=models.Q(("ended_at__isnull", True)),
                        fields=["organisation", "horse", "yard"],
                        name="scoring_exception_of",
                    ),
                    models.Index(fields=["organisation", "-id"], name="scoring_exception_newest"),
                ],
                "constraints": [
                    models.UniqueConstraint(
                        fields=("organisation", "ref"), name="scoring_ruleexception_ref"
                    ),
                    models.UniqueConstraint(
                        condition=models.Q(("ended_at__isnull", True), ("horse__isnull", False)),
                        fields=("organisation", "rule", "horse"),
                        name="scoring_exception_one_a_horse",
                    ),
                    models.UniqueConstraint(
                        condition=models.Q(("ended_at__isnull", True), ("yard__isnull", False)),
                        fields=("organisation", "rule", "yard"),
                        name="scoring_exception_one_a_yard",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("horse__isnull", False), ("yard__isnull", True)),
                            models.Q(("horse__isnull", True), ("yard__isnull", False)),
                            _connector="OR",
                        ),
                        name="scoring_exception_of_a_yard_or_a_horse",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("is_on", True),
                            models.Q(("rule__in", ["danger_signs", "emaciated"]), _negated=True),
                            _connector="OR",
                        ),
                        name="scoring_exception_protects_life",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("until_at__gt", models.F("given_at"))),
                        name="scoring_exception_ends_after_it_begins",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="RuleSetting",
            fields=[
                ("id", models.BigAutoField(primary_key=True, serialize=False)),
                ("ref", models.UUIDField(editable=False)),
                ("rule", models.CharField(max_length=32)),
                ("is_on", models.BooleanField(default=True)),
                ("thresholds", models.JSONField(default=dict)),
                ("reason", models.CharField(max_length=500)),
                ("set_at", models.DateTimeField()),
                ("version", models.PositiveIntegerField()),
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
                    "set_by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
            ],
            options={
                "abstract": False,
                "constraints": [
                    models.UniqueConstraint(
                        fields=("organisation", "ref"), name="scoring_rulesetting_ref"
                    ),
                    models.UniqueConstraint(
                        fields=("organisation", "rule"), name="scoring_rulesetting_one_a_rule"
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("is_on", True),
                            models.Q(("rule__in", ["danger_signs", "emaciated"]), _negated=True),
                            _connector="OR",
                        ),
                        name="scoring_rulesetting_protects_life",
                    ),
                ],
            },
        ),
        tenancy.tenant("scoring_rulesetting"),
        tenancy.tenant("scoring_ruleexception"),
        tenancy.tie("scoring_ruleexception", "yard_id", "yards_yard"),
        tenancy.tie("scoring_ruleexception", "horse_id", "yards_horse"),
    ]
