"""What was learnt of hands and tapes, and the timers that have it learnt and used."""

import django.db.models.deletion
from django.db import migrations, models

from yards.migrations import _tenancy as tenancy


class Migration(migrations.Migration):
    dependencies = [("scoring", "0003_closed_lists"), ("yards", "0007_merged_index")]

    operations = [
        migrations.CreateModel(
            name="Fit",
            fields=[
                ("id", models.BigAutoField(primary_key=True, serialize=False)),
                ("ref", models.UUIDField(editable=False)),
                ("made_at", models.DateTimeField()),
                ("content", models.JSONField()),
                (
                    "organisation",
                    models.ForeignKey(
                        db_index=False,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="yards.organisation",
                    ),
                ),
            ],
            options={"abstract": False},
        ),
        migrations.AddIndex(
            model_name="fit",
            index=models.Index(fields=["organisation", "-id"], name="scoring_fit_newest"),
        ),
        migrations.AddConstraint(
            model_name="fit",
            constraint=models.UniqueConstraint(
                fields=("organisation", "ref"), name="scoring_fit_ref"
            ),
        ),
        migrations.RemoveConstraint(model_name="timer", name="scoring_timer_kind"),
        migrations.AddConstraint(
            model_name="timer",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    (
                        "kind__in",
                        ["escalate", "follow_up", "snooze_end", "sweep", "fit", "refit"],
                    )
                ),
                name="scoring_timer_kind",
            ),
        ),
        migrations.AddField(
            model_name="standing",
            name="fit",
            field=models.ForeignKey(
                db_constraint=False,
                db_index=False,
                null=True,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="+",
                to="scoring.fit",
            ),
        ),
        tenancy.tenant("scoring_fit", append_only=True),
        tenancy.tie("scoring_standing", "fit_id", "scoring_fit"),
        tenancy.never("scoring_fit", "UPDATE", "DELETE", "TRUNCATE"),
    ]
