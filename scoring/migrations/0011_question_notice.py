"""A message that tells a vet of a question."""

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("scoring", "0010_own_rules")]

    operations = [
        migrations.RemoveConstraint(model_name="notice", name="scoring_notice_kind"),
        migrations.AddConstraint(
            model_name="notice",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    ("kind__in", ["alert", "season", "escalation", "reminder", "question"])
                ),
                name="scoring_notice_kind",
            ),
        ),
    ]
