"""What hangs on a horse is hidden with it, and bounded by the part of the record that is open."""

from django.db import migrations

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
    dependencies = [("scoring", "0013_policies"), ("yards", "0014_sight")]

    operations = [
        *(tenancy.sight(table, taken="corrected_at", recorded="received_at") for table in _TAKEN),
        *(tenancy.sight(table, taken=at, recorded=at) for table, at in _OTHERS.items()),
        tenancy.sight("scoring_standing"),
        tenancy.unworked("scoring_standing"),
    ]
