from django.db import migrations, models


class Migration(migrations.Migration):
    """By which rule an organisation sums a score up; the mean unless it chooses another."""

    dependencies = [("yards", "0007_merged_index")]

    operations = [
        migrations.AddField(
            model_name="organisation",
            name="overall_rule",
            field=models.CharField(db_default="mean", default="mean", max_length=12),
        ),
        migrations.AddField(
            model_name="organisation",
            name="version",
            field=models.PositiveIntegerField(db_default=1, default=1),
        ),
        migrations.AddConstraint(
            model_name="organisation",
            constraint=models.CheckConstraint(
                condition=models.Q(("overall_rule__in", ("mean", "pelvis_led"))),
                name="yards_organisation_overall_rule",
            ),
        ),
    ]
