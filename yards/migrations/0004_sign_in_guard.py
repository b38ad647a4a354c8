"""The table that stands in for Redis, while that is away, for what guards signing in.

Django's own shape of a cache in a table (``createcachetable``); no model, so SQL.
"""

from django.db import migrations

from yards.migrations import _tenancy as tenancy

TABLE = "yards_signinguard"


def _made() -> list[str]:
    return [
        f"CREATE TABLE {TABLE} (cache_key varchar(255) NOT NULL PRIMARY KEY, "
        "value text NOT NULL, expires timestamptz NOT NULL)",
        f"CREATE INDEX {TABLE}_expires ON {TABLE} (expires)",
    ]


class Migration(migrations.Migration):
    dependencies = [("yards", "0003_person_tables")]

    operations = [tenancy.Ddl(_made), tenancy.person(TABLE)]
