"""A letter that was given up is due no more, and is counted for a while."""

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("yards", "0018_invitation_hours")]

    operations = [
        migrations.AlterField(
            model_name="letter",
            name="due_at",
            field=models.DateTimeField(null=True),
        ),
    ]
