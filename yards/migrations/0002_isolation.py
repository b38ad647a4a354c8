"""Row-level security, composite keys and grants for the tables of who and where."""

from django.db import migrations

from yards.migrations import _tenancy as tenancy


class Migration(migrations.Migration):
    dependencies = [("yards", "0001_tables")]

    operations = [
        tenancy.never_function(),
        tenancy.door(
            "yards_organisation",
            "EXISTS (SELECT FROM yards_grant g WHERE g.organisation_id = yards_organisation.id "
            f"AND g.person_id = {tenancy.PERSON})",
        ),
        tenancy.tenant("yards_yard"),
        tenancy.tenant("yards_horse"),
        tenancy.tenant("yards_stay"),
        tenancy.tenant("yards_horseevent", append_only=True),
        tenancy.door("yards_grant", f"person_id = {tenancy.PERSON}"),
        tenancy.tenant("yards_grantyard", append_only=True),
        tenancy.tenant("yards_granthorse", append_only=True),
        tenancy.door("yards_token", f"digest = {tenancy.PRESENTED}"),
        tenancy.tenant("yards_entry", append_only=True),
        tenancy.tenant("yards_entrypayload", append_only=True),
        tenancy.tie("yards_horse", "yard_id", "yards_yard"),
        tenancy.tie("yards_horse", "merged_into_id", "yards_horse"),
        tenancy.tie("yards_stay", "horse_id", "yards_horse"),
        tenancy.tie("yards_stay", "yard_id", "yards_yard"),
        tenancy.tie("yards_horseevent", "horse_id", "yards_horse"),
        tenancy.tie("yards_grantyard", "grant_id", "yards_grant"),
        tenancy.tie("yards_grantyard", "yard_id", "yards_yard"),
        tenancy.tie("yards_granthorse", "grant_id", "yards_grant"),
        tenancy.tie("yards_granthorse", "horse_id", "yards_horse"),
        tenancy.tie("yards_entrypayload", "entry_id", "yards_entry"),
        tenancy.never("yards_entry", "UPDATE", "DELETE", "TRUNCATE"),
        tenancy.never("yards_entrypayload", "UPDATE", "TRUNCATE"),
        tenancy.never("yards_horseevent", "UPDATE", "DELETE", "TRUNCATE"),
    ]
