"""What hangs on a horse is hidden with it, and bounded by the part of the record that is open; a
message tells coordinators of break-glass."""

from django.db import migrations, models

from yards.migrations import _tenancy as tenancy

_TAKEN = ("scoring_assessment", "scoring_weighing", "scoring_concern", "scoring_photo")
_OTHERS = {
    "scoring_alert": "opened_at",
    "scoring_question": "asked_at",
    "scoring_clinicalnote": "written_at",
    "scoring_vetorder": "given_at",
    "scoring_ruleexception": "given_at",
}


class Migration(migrations.Migration):
    dependencies = [("scoring", "0013_policies"), ("yards", "0015_walls_of_sight")]

    operations = [
        *(tenancy.sight(table, taken="corrected_at", recorded="received_at") for table in _TAKEN),
        *(tenancy.sight(table, taken=at, recorded=at) for table, at in _OTHERS.items()),
        tenancy.sight("scoring_standing"),
        tenancy.unworked("scoring_standing"),
        migrations.RemoveConstraint(model_name="notice", name="scoring_notice_kind"),
        migrations.AddConstraint(
            model_name="notice",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    ("kind__in", ["alert", "season", "escalation", "reminder", "question", "glass"])
                ),
                name="scoring_notice_kind",
            ),
        ),
    ]
