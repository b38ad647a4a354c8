from django.db import migrations, models


class Migration(migrations.Migration):
    """What a round needs of yards and horses: the walking order, and the note on handling."""

    dependencies = [("yards", "0008_overall_rule")]

    operations = [
        migrations.AddField(
            model_name="horse",
            name="handling",
            field=models.TextField(blank=True, db_default="", default=""),
        ),
        migrations.AddField(
            model_name="horse",
            name="walk_place",
            field=models.PositiveSmallIntegerField(null=True),
        ),
        migrations.AddField(
            model_name="yard",
            name="walk_version",
            field=models.PositiveIntegerField(db_default=1, default=1),
        ),
    ]
