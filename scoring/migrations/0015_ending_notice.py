"""A message that tells somebody that their access ends soon."""

from django.db import migrations, models

_KINDS = ["alert", "season", "escalation", "reminder", "question", "glass", "ending"]


class Migration(migrations.Migration):
    dependencies = [("scoring", "0014_sight")]

    operations = [
        migrations.RemoveConstraint(model_name="notice", name="scoring_notice_kind"),
        migrations.AddConstraint(
            model_name="notice",
            constraint=models.CheckConstraint(
                condition=models.Q(("kind__in", _KINDS)), name="scoring_notice_kind"
            ),
        ),
    ]
