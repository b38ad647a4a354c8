from django.db import migrations, models


class Migration(migrations.Migration):
    """What the findings suggested, beside the score that was given.

    The column has a default in the database, so that what runs on the old code goes on writing;
    the table stays append-only, and a reading from before has no suggestion.
    """

    dependencies = [("scoring", "0005_weighing_how")]

    operations = [
        migrations.AddField(
            model_name="assessment",
            name="suggestion",
            field=models.JSONField(db_default=models.Value({}, models.JSONField()), default=dict),
        ),
    ]
