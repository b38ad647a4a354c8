from django.db import migrations, models


class Migration(migrations.Migration):
    """How a tape lay, how far a formula is likely to be out, and what was odd when it came in.

    Each column has a default in the database, so that what runs on the old code goes on writing.
    """

    dependencies = [("scoring", "0004_fits")]

    operations = [
        migrations.AddField(
            model_name="weighing",
            name="tape_side",
            field=models.CharField(blank=True, db_default="", default="", max_length=8),
        ),
        migrations.AddField(
            model_name="weighing",
            name="tape_position",
            field=models.CharField(blank=True, db_default="", default="", max_length=24),
        ),
        migrations.AddField(
            model_name="weighing",
            name="likely_error_kg",
            field=models.DecimalField(decimal_places=1, max_digits=6, null=True),
        ),
        migrations.AddField(
            model_name="weighing",
            name="warnings",
            field=models.JSONField(db_default=models.Value([], models.JSONField()), default=list),
        ),
        migrations.AddConstraint(
            model_name="weighing",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    (
                        "tape_position__in",
                        ["", "foot_of_withers", "slope_of_withers", "top_of_withers"],
                    ),
                    ("tape_side__in", ["", "left", "right"]),
                ),
                name="scoring_weighing_tape_from_its_lists",
            ),
        ),
        migrations.AddConstraint(
            model_name="weighing",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    ("method__in", ("weigh_tape", "formula")),
                    models.Q(("tape_position", ""), ("tape_side", "")),
                    _connector="OR",
                ),
                name="scoring_weighing_tape_only_by_tape",
            ),
        ),
    ]
