"""In texts of what is never altered, an erased person's alias may take the place of their name."""

from django.db import migrations

from yards.migrations import _tenancy as tenancy


class Migration(migrations.Migration):
    dependencies = [("yards", "0016_erasures")]

    operations = [
        tenancy.unnaming(),
        tenancy.unnamed("yards_horseevent", "note"),
    ]
