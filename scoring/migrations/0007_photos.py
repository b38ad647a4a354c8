import datetime

import django.db.models.deletion
import django.db.models.expressions
from django.conf import settings
from django.db import migrations, models

from yards.migrations import _tenancy as tenancy


class Migration(migrations.Migration):
    """Photos of readings, concerns and horses, inside their organisation's wall."""

    dependencies = [
        ("scoring", "0006_suggestion"),
        ("yards", "0009_round"),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = [
        migrations.CreateModel(
            name="Photo",
            fields=[
                ("id", models.BigAutoField(primary_key=True, serialize=False)),
                ("ref", models.UUIDField(editable=False)),
                ("of", models.CharField(max_length=12)),
                ("side", models.CharField(max_length=8)),
                ("taken_at", models.DateTimeField()),
                ("sent_at", models.DateTimeField(null=True)),
                ("received_at", models.DateTimeField()),
                ("corrected_at", models.DateTimeField()),
                ("token_ref", models.UUIDField(null=True)),
                ("sent_sha256", models.BinaryField(max_length=32)),
                ("image", models.BinaryField()),
                ("width", models.PositiveSmallIntegerField()),
                ("height", models.PositiveSmallIntegerField()),
                ("content_digest", models.BinaryField(max_length=32)),
                (
                    "assessment",
                    models.ForeignKey(
                        db_constraint=False,
                        db_index=False,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="scoring.assessment",
                    ),
                ),
                (
                    "concern",
                    models.ForeignKey(
                        db_constraint=False,
                        db_index=False,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="scoring.concern",
                    ),
                ),
                (
                    "horse",
                    models.ForeignKey(
                        db_constraint=False,
                        db_index=False,
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
                    "recorded_by",
                    models.ForeignKey(
                        db_index=False,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
            ],
            options={
                "abstract": False,
                "indexes": [
                    models.Index(fields=["organisation", "horse", "-id"], name="scoring_photo_of"),
                    models.Index(
                        condition=models.Q(("assessment__isnull", False)),
                        fields=["organisation", "assessment"],
                        name="scoring_photo_by_reading",
                    ),
                    models.Index(
                        condition=models.Q(("concern__isnull", False)),
                        fields=["organisation", "concern"],
                        name="scoring_photo_by_concern",
                    ),
                ],
                "constraints": [
                    models.UniqueConstraint(
                        fields=("organisation", "ref"), name="scoring_photo_ref"
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(
                                ("assessment__isnull", False),
                                ("concern__isnull", True),
                                ("of", "assessment"),
                            ),
                            models.Q(
                                ("assessment__isnull", True),
                                ("concern__isnull", False),
                                ("of", "concern"),
                            ),
                            models.Q(
                                ("assessment__isnull", True),
                                ("concern__isnull", True),
                                ("of", "horse"),
                            ),
                            _connector="OR",
                        ),
                        name="scoring_photo_is_of_one_thing",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("side__in", ("left", "right", "rear", "mark"))),
                        name="scoring_photo_side",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            (
                                "corrected_at__lte",
                                django.db.models.expressions.CombinedExpression(
                                    models.F("received_at"),
                                    "+",
                                    models.Value(datetime.timedelta(seconds=300)),
                                ),
                            )
                        ),
                        name="scoring_photo_not_ahead",
                    ),
                ],
            },
        ),
        tenancy.tenant("scoring_photo", append_only=True),
        tenancy.tie("scoring_photo", "horse_id", "yards_horse"),
        tenancy.tie("scoring_photo", "assessment_id", "scoring_assessment"),
        tenancy.tie("scoring_photo", "concern_id", "scoring_concern"),
        tenancy.never("scoring_photo", "UPDATE", "DELETE", "TRUNCATE"),
    ]
