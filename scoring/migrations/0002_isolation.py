"""Row-level security, composite keys and grants for the tables of what was felt."""

from django.db import migrations

from yards.migrations import _tenancy as tenancy

RECORDED = ("scoring_assessment", "scoring_weighing", "scoring_concern")


class Migration(migrations.Migration):
    dependencies = [("scoring", "0001_tables"), ("yards", "0002_isolation")]

    operations = [
        tenancy.tenant("scoring_assessor"),
        tenancy.tenant("scoring_instrument", append_only=True),
        tenancy.tenant("scoring_assessment", append_only=True),
        tenancy.tenant("scoring_weighing", append_only=True),
        tenancy.tenant("scoring_concern", append_only=True),
        tenancy.tenant("scoring_vetorder", append_only=True),
        tenancy.tenant("scoring_standing"),
        tenancy.tenant("scoring_alert"),
        tenancy.tenant("scoring_alertsighting", append_only=True),
        tenancy.tenant("scoring_timer"),
        tenancy.tenant("scoring_notice"),
        *(
            tenancy.tie(table, column, to)
            for table in RECORDED
            for column, to in (
                ("horse_id", "yards_horse"),
                ("yard_id", "yards_yard"),
                ("assessor_id", "scoring_assessor"),
            )
        ),
        tenancy.tie("scoring_instrument", "yard_id", "yards_yard"),
        tenancy.tie("scoring_assessment", "weighing_id", "scoring_weighing"),
        tenancy.tie("scoring_assessment", "supersedes_id", "scoring_assessment"),
        tenancy.tie("scoring_weighing", "instrument_id", "scoring_instrument"),
        tenancy.tie("scoring_weighing", "supersedes_id", "scoring_weighing"),
        tenancy.tie("scoring_vetorder", "horse_id", "yards_horse"),
        tenancy.tie("scoring_standing", "horse_id", "yards_horse"),
        tenancy.tie("scoring_standing", "yard_id", "yards_yard"),
        tenancy.tie("scoring_standing", "last_assessment_id", "scoring_assessment"),
        tenancy.tie("scoring_standing", "last_weighing_id", "scoring_weighing"),
        tenancy.tie("scoring_alert", "horse_id", "yards_horse"),
        tenancy.tie("scoring_alert", "yard_id", "yards_yard"),
        tenancy.tie("scoring_alertsighting", "alert_id", "scoring_alert"),
        tenancy.tie("scoring_alertsighting", "assessment_id", "scoring_assessment"),
        tenancy.tie("scoring_alertsighting", "concern_id", "scoring_concern"),
        tenancy.tie("scoring_timer", "alert_id", "scoring_alert"),
        tenancy.tie("scoring_timer", "yard_id", "yards_yard"),
        tenancy.tie("scoring_notice", "alert_id", "scoring_alert"),
        tenancy.tie("scoring_notice", "yard_id", "yards_yard"),
        *(
            tenancy.never(table, "UPDATE", "DELETE", "TRUNCATE")
            for table in (*RECORDED, "scoring_vetorder", "scoring_alertsighting")
        ),
        tenancy.relayed("scoring_timer"),
        tenancy.relayed("scoring_notice"),
    ]
