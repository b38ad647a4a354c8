"""The one life of an alert: its ladder, its owner, what was done about it."""

import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models

from yards.migrations import _tenancy as tenancy


def _filled() -> list[str]:
    """Let alerts that stand open go on climbing: an escalated one would never stir again.

    The owner is held to row security too, so it is lifted for this transaction.
    """
    tables = ("scoring_alert", "scoring_timer")
    return [
        *(f"ALTER TABLE {table} NO FORCE ROW LEVEL SECURITY" for table in tables),
        "UPDATE scoring_alert SET began_at = coalesce(escalated_at, seen_at, opened_at),"
        " told_at = coalesce(escalated_at, opened_at), tellings = step + 1"
        " WHERE state <> 'resolved' AND severity <> 'watch'",
        "UPDATE scoring_alert SET next_at = t.due_at FROM scoring_timer t"
        " WHERE t.organisation_id = scoring_alert.organisation_id"
        " AND t.alert_id = scoring_alert.id AND t.due_at IS NOT NULL"
        " AND scoring_alert.state <> 'resolved'",
        "UPDATE scoring_alert SET next_at = told_at"
        " WHERE state = 'open' AND severity <> 'watch' AND next_at IS NULL",
        "INSERT INTO scoring_timer"
        " (organisation_id, ref, kind, key, due_at, alert_id, attempts, created_at)"
        " SELECT organisation_id, gen_random_uuid(), 'escalate',"
        " 'escalate:' || ref || ':' || version || ':again', next_at, id, 0, next_at"
        " FROM scoring_alert WHERE state = 'open' AND severity <> 'watch' AND NOT EXISTS"
        " (SELECT 1 FROM scoring_timer t WHERE t.organisation_id = scoring_alert.organisation_id"
        " AND t.alert_id = scoring_alert.id AND t.due_at IS NOT NULL)",
        "SET CONSTRAINTS ALL IMMEDIATE",
        *(f"ALTER TABLE {table} FORCE ROW LEVEL SECURITY" for table in tables),
    ]


class Migration(migrations.Migration):
    dependencies = [
        ("scoring", "0011_question_notice"),
        ("yards", "0010_board"),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = [
        migrations.CreateModel(
            name="AlertAct",
            fields=[
                ("id", models.BigAutoField(primary_key=True, serialize=False)),
                ("ref", models.UUIDField(editable=False)),
                ("kind", models.CharField(max_length=16)),
                ("at", models.DateTimeField()),
                ("text", models.TextField(blank=True)),
                ("due_at", models.DateTimeField(null=True)),
                ("number", models.PositiveIntegerField(default=0)),
            ],
            options={
                "abstract": False,
            },
        ),
        migrations.AddField(
            model_name="alert",
            name="began_at",
            field=models.DateTimeField(null=True),
        ),
        migrations.AddField(
            model_name="alert",
            name="exhausted_at",
            field=models.DateTimeField(null=True),
        ),
        migrations.AddField(
            model_name="alert",
            name="next_at",
            field=models.DateTimeField(null=True),
        ),
        migrations.AddField(
            model_name="alert",
            name="owner",
            field=models.ForeignKey(
                null=True,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="+",
                to=settings.AUTH_USER_MODEL,
            ),
        ),
        migrations.AddField(
            model_name="alert",
            name="snoozed_by",
            field=models.ForeignKey(
                null=True,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="+",
                to=settings.AUTH_USER_MODEL,
            ),
        ),
        migrations.AddField(
            model_name="alert",
            name="tellings",
            field=models.PositiveIntegerField(db_default=0, default=0),
        ),
        migrations.AddField(
            model_name="alert",
            name="told_at",
            field=models.DateTimeField(null=True),
        ),
        migrations.AddIndex(
            model_name="alert",
            index=models.Index(
                condition=models.Q(("exhausted_at__isnull", False)),
                fields=["organisation", "horse"],
                name="scoring_alert_exhausted",
            ),
        ),
        migrations.AddConstraint(
            model_name="alert",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    ("exhausted_at__isnull", True), ("state", "open"), _connector="OR"
                ),
                name="scoring_alert_exhausted_only_while_open",
            ),
        ),
        migrations.AddField(
            model_name="alertact",
            name="about",
            field=models.ForeignKey(
                null=True,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="+",
                to=settings.AUTH_USER_MODEL,
            ),
        ),
        migrations.AddField(
            model_name="alertact",
            name="alert",
            field=models.ForeignKey(
                db_constraint=False,
                db_index=False,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="+",
                to="scoring.alert",
            ),
        ),
        migrations.AddField(
            model_name="alertact",
            name="by",
            field=models.ForeignKey(
                null=True,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="+",
                to=settings.AUTH_USER_MODEL,
            ),
        ),
        migrations.AddField(
            model_name="alertact",
            name="organisation",
            field=models.ForeignKey(
                db_index=False,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="+",
                to="yards.organisation",
            ),
        ),
        migrations.AddIndex(
            model_name="alertact",
            index=models.Index(fields=["organisation", "alert", "id"], name="scoring_alertact_of"),
        ),
        migrations.AddConstraint(
            model_name="alertact",
            constraint=models.UniqueConstraint(
                fields=("organisation", "ref"), name="scoring_alertact_ref"
            ),
        ),
        migrations.AddConstraint(
            model_name="alertact",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    (
                        "kind__in",
                        (
                            "told",
                            "exhausted",
                            "reopened",
                            "snooze_ended",
                            "acknowledged",
                            "assigned",
                            "commented",
                            "snoozed",
                            "resolved",
                        ),
                    )
                ),
                name="scoring_alertact_kind",
            ),
        ),
        tenancy.tenant("scoring_alertact", append_only=True),
        tenancy.tie("scoring_alertact", "alert_id", "scoring_alert"),
        tenancy.never("scoring_alertact", "UPDATE", "DELETE", "TRUNCATE"),
        tenancy.Ddl(_filled),
    ]
