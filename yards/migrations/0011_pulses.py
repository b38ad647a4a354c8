"""Signs of life. The table belongs to no organisation and tells nothing of any."""

from django.db import migrations, models

from yards.migrations import _tenancy as tenancy


class Migration(migrations.Migration):
    dependencies = [("yards", "0010_board")]

    operations = [
        migrations.CreateModel(
            name="Pulse",
            fields=[
                ("name", models.CharField(max_length=16, primary_key=True, serialize=False)),
                ("at", models.DateTimeField()),
                ("said", models.JSONField(default=dict)),
            ],
        ),
        tenancy.person("yards_pulse", rights="SELECT, INSERT, UPDATE"),
    ]
