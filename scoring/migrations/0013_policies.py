"""Escalation policies as an organisation has them, and who is away when."""

import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models

from yards.migrations import _tenancy as tenancy


class Migration(migrations.Migration):
    dependencies = [
        ("scoring", "0012_alert_life"),
        ("yards", "0010_board"),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = [
        migrations.CreateModel(
            name="Absence",
            fields=[
                ("id", models.BigAutoField(primary_key=True, serialize=False)),
                ("ref", models.UUIDField(editable=False)),
                ("from_at", models.DateTimeField()),
                ("until_at", models.DateTimeField()),
                ("reason", models.CharField(blank=True, max_length=300)),
                ("set_at", models.DateTimeField()),
                ("ended_at", models.DateTimeField(null=True)),
            ],
            options={
                "abstract": False,
            },
        ),
        migrations.CreateModel(
            name="EscalationPolicy",
            fields=[
                ("id", models.BigAutoField(primary_key=True, serialize=False)),
                ("ref", models.UUIDField(editable=False)),
                ("severity", models.CharField(max_length=8)),
                ("steps", models.JSONField()),
                ("repeat_minutes", models.PositiveIntegerField()),
                ("reason", models.CharField(max_length=500)),
                ("set_at", models.DateTimeField()),
                ("version", models.PositiveIntegerField()),
            ],
            options={
                "abstract": False,
            },
        ),
        migrations.AddField(
            model_name="absence",
            name="ended_by",
            field=models.ForeignKey(
                null=True,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="+",
                to=settings.AUTH_USER_MODEL,
            ),
        ),
        migrations.AddField(
            model_name="absence",
            name="organisation",
            field=models.ForeignKey(
                db_index=False,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="+",
                to="yards.organisation",
            ),
        ),
        migrations.AddField(
            model_name="absence",
            name="person",
            field=models.ForeignKey(
                on_delete=django.db.models.deletion.PROTECT,
                related_name="+",
                to=settings.AUTH_USER_MODEL,
            ),
        ),
        migrations.AddField(
            model_name="absence",
            name="set_by",
            field=models.ForeignKey(
                on_delete=django.db.models.deletion.PROTECT,
                related_name="+",
                to=settings.AUTH_USER_MODEL,
            ),
        ),
        migrations.AddField(
            model_name="escalationpolicy",
            name="organisation",
            field=models.ForeignKey(
                db_index=False,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="+",
                to="yards.organisation",
            ),
        ),
        migrations.AddField(
            model_name="escalationpolicy",
            name="set_by",
            field=models.ForeignKey(
                on_delete=django.db.models.deletion.PROTECT,
                related_name="+",
                to=settings.AUTH_USER_MODEL,
            ),
        ),
        migrations.AddIndex(
            model_name="absence",
            index=models.Index(
                condition=models.Q(("ended_at__isnull", True)),
                fields=["organisation", "until_at"],
                name="scoring_absence_until",
            ),
        ),
        migrations.AddIndex(
            model_name="absence",
            index=models.Index(fields=["organisation", "-id"], name="scoring_absence_newest"),
        ),
        migrations.AddConstraint(
            model_name="absence",
            constraint=models.UniqueConstraint(
                fields=("organisation", "ref"), name="scoring_absence_ref"
            ),
        ),
        migrations.AddConstraint(
            model_name="absence",
            constraint=models.CheckConstraint(
                condition=models.Q(("until_at__gt", models.F("from_at"))),
                name="scoring_absence_ends_after_it_begins",
            ),
        ),
        migrations.AddConstraint(
            model_name="escalationpolicy",
            constraint=models.UniqueConstraint(
                fields=("organisation", "ref"), name="scoring_escalationpolicy_ref"
            ),
        ),
        migrations.AddConstraint(
            model_name="escalationpolicy",
            constraint=models.UniqueConstraint(
                fields=("organisation", "severity"), name="scoring_escalationpolicy_one_a_severity"
            ),
        ),
        migrations.AddConstraint(
            model_name="escalationpolicy",
            constraint=models.CheckConstraint(
                condition=models.Q(("severity__in", ["watch", "act", "urgent"])),
                name="scoring_escalationpolicy_severity",
            ),
        ),
        migrations.AddConstraint(
            model_name="escalationpolicy",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    ("severity", "watch"), models.Q(("steps", []), _negated=True), _connector="OR"
                ),
                name="scoring_escalationpolicy_never_empty",
            ),
        ),
        tenancy.tenant("scoring_escalationpolicy"),
        tenancy.tenant("scoring_absence"),
    ]
