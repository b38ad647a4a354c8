"""For how long an invitation's link opens, as whoever invited chose; 72 hours of those before."""

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("yards", "0017_unnamed")]

    operations = [
        migrations.AddField(
            model_name="invitation",
            name="hours",
            field=models.PositiveSmallIntegerField(db_default=72, default=72),
        ),
    ]
