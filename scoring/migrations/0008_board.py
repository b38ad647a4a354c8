import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models

from yards.migrations import _tenancy as tenancy


class Migration(migrations.Migration):
    """Views of the board, kept by each person for their own; and what a board is grouped by."""

    dependencies = [
        ("scoring", "0007_photos"),
        ("yards", "0010_board"),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = [
        migrations.CreateModel(
            name="BoardView",
            fields=[
                ("id", models.BigAutoField(primary_key=True, serialize=False)),
                ("ref", models.UUIDField(editable=False)),
                ("name", models.CharField(max_length=60)),
                ("asked", models.JSONField()),
                ("created_at", models.DateTimeField()),
                ("removed_at", models.DateTimeField(null=True)),
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
                        db_index=False,
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
                        fields=("organisation", "ref"), name="scoring_boardview_ref"
                    ),
                    models.UniqueConstraint(
                        condition=models.Q(("removed_at__isnull", True)),
                        fields=("organisation", "person", "name"),
                        name="scoring_boardview_one_a_name",
                    ),
                ],
            },
        ),
        migrations.AddIndex(
            model_name="standing",
            index=models.Index(
                fields=["organisation", "yard", "horse"],
                include=["score_due_at", "weight_due_at", "updated_at"],
                name="scoring_standing_board",
            ),
        ),
        tenancy.tenant("scoring_boardview"),
    ]
