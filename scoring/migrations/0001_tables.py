import django.contrib.postgres.fields
import django.db.models.deletion
import django.db.models.expressions
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):
    initial = True

    dependencies = [
        ("yards", "0001_tables"),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = [
        migrations.CreateModel(
            name="Alert",
            fields=[
                ("id", models.BigAutoField(primary_key=True, serialize=False)),
                ("ref", models.UUIDField(editable=False)),
                ("rule", models.CharField(max_length=32)),
                ("severity", models.CharField(max_length=8)),
                ("state", models.CharField(max_length=12)),
                ("opened_at", models.DateTimeField()),
                ("seen_at", models.DateTimeField()),
                ("said", models.JSONField()),
                ("step", models.PositiveSmallIntegerField(default=0)),
                ("escalated_at", models.DateTimeField(null=True)),
                ("acknowledged_at", models.DateTimeField(null=True)),
                ("note", models.TextField(blank=True)),
                ("next_step", models.CharField(blank=True, max_length=300)),
                ("next_step_by", models.DateTimeField(null=True)),
                ("snoozed_until", models.DateTimeField(null=True)),
                ("snooze_reason", models.CharField(blank=True, max_length=300)),
                ("resolved_at", models.DateTimeField(null=True)),
                ("resolution", models.CharField(blank=True, max_length=12)),
                ("resolve_reason", models.CharField(blank=True, max_length=500)),
                ("vet_said", models.TextField(blank=True)),
                ("version", models.PositiveIntegerField(default=1)),
                (
                    "acknowledged_by",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "horse",
                    models.ForeignKey(
                        db_constraint=False,
                        db_index=False,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="yards.horse",
                    ),
                ),
                (
                    "organisation",
                    models.ForeignKey(
                        db_index=False,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="yards.organisation",
                    ),
                ),
                (
                    "resolved_by",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "yard",
                    models.ForeignKey(
                        db_constraint=False,
                        db_index=False,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="yards.yard",
                    ),
                ),
            ],
            options={
                "abstract": False,
            },
        ),
        migrations.CreateModel(
            name="Assessor",
            fields=[
                ("id", models.BigAutoField(primary_key=True, serialize=False)),
                ("ref", models.UUIDField(editable=False)),
                ("name", models.CharField(max_length=120)),
                ("kind", models.CharField(max_length=12)),
                ("created_at", models.DateTimeField()),
                (
                    "organisation",
                    models.ForeignKey(
                        db_index=False,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="yards.organisation",
                    ),
                ),
                (
                    "person",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
            ],
            options={
                "abstract": False,
            },
        ),
        migrations.CreateModel(
            name="Assessment",
            fields=[
                ("id", models.BigAutoField(primary_key=True, serialize=False)),
                ("ref", models.UUIDField(editable=False)),
                ("token_ref", models.UUIDField(null=True)),
                ("taken_at", models.DateTimeField()),
                ("sent_at", models.DateTimeField(null=True)),
                ("received_at", models.DateTimeField()),
                ("corrected_at", models.DateTimeField()),
                ("content_digest", models.BinaryField(max_length=32)),
                ("scale", models.CharField(max_length=8)),
                ("scale_version", models.PositiveSmallIntegerField()),
                ("manner", models.CharField(max_length=12)),
                ("neck", models.SmallIntegerField(null=True)),
                ("back", models.SmallIntegerField(null=True)),
                ("hind", models.SmallIntegerField(null=True)),
                ("whole", models.SmallIntegerField(null=True)),
                ("fat_pocket", models.CharField(default="none", max_length=8)),
                (
                    "overall_sixths",
                    models.GeneratedField(
                        db_persist=True,
                        expression=models.Case(
                            models.When(
                                scale="five",
                                then=django.db.models.expressions.CombinedExpression(
                                    django.db.models.expressions.CombinedExpression(
                                        django.db.models.expressions.CombinedExpression(
                                            models.F("neck"), "+", models.F("back")
                                        ),
                                        "+",
                                        models.Case(
                                            models.When(
                                                back__lt=10,
                                                fat_pocket="marked",
                                                then=models.Value(1),
                                            ),
                                            default=models.Value(0),
                                            output_field=models.SmallIntegerField(),
                                        ),
                                    ),
                                    "+",
                                    models.F("hind"),
                                ),
                            ),
                            default=django.db.models.expressions.CombinedExpression(
                                models.F("whole"), "*", models.Value(3)
                            ),
                            output_field=models.SmallIntegerField(),
                        ),
                        output_field=models.SmallIntegerField(null=True),
                    ),
                ),
                ("by_eye", models.SmallIntegerField(null=True)),
                ("crest", models.SmallIntegerField(null=True)),
                ("findings", models.JSONField(default=dict)),
                (
                    "danger_signs",
                    django.contrib.postgres.fields.ArrayField(
                        base_field=models.CharField(max_length=40), default=list, size=None
                    ),
                ),
                ("looked_for_danger", models.BooleanField(default=False)),
                ("appetite", models.CharField(blank=True, max_length=12)),
                ("muscle", models.CharField(blank=True, max_length=12)),
                ("coat", models.CharField(blank=True, max_length=12)),
                ("rug_off", models.BooleanField(null=True)),
                ("held_by", models.CharField(blank=True, max_length=120)),
                ("limits", models.CharField(blank=True, max_length=500)),
                ("note", models.TextField(blank=True)),
                ("band_low", models.DecimalField(decimal_places=2, max_digits=4, null=True)),
                ("band_aim", models.DecimalField(decimal_places=2, max_digits=4, null=True)),
                ("band_high", models.DecimalField(decimal_places=2, max_digits=4, null=True)),
                ("place", models.CharField(blank=True, max_length=8)),
                ("reason", models.CharField(blank=True, max_length=500)),
                (
                    "horse",
                    models.ForeignKey(
                        db_constraint=False,
                        db_index=False,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="yards.horse",
                    ),
                ),
                (
                    "organisation",
                    models.ForeignKey(
                        db_index=False,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="yards.organisation",
                    ),
                ),
                (
                    "recorded_by",
                    models.ForeignKey(
                        db_index=False,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "supersedes",
                    models.ForeignKey(
                        db_constraint=False,
                        db_index=False,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="superseded_by",
                        to="scoring.assessment",
                    ),
                ),
                (
                    "yard",
                    models.ForeignKey(
                        db_constraint=False,
                        db_index=False,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="yards.yard",
                    ),
                ),
                (
                    "assessor",
                    models.ForeignKey(
                        db_constraint=False,
                        db_index=False,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="scoring.assessor",
                    ),
                ),
            ],
            options={
                "abstract": False,
            },
        ),
        migrations.CreateModel(
            name="Concern",
            fields=[
                ("id", models.BigAutoField(primary_key=True, serialize=False)),
                ("ref", models.UUIDField(editable=False)),
                ("token_ref", models.UUIDField(null=True)),
                ("taken_at", models.DateTimeField()),
                ("sent_at", models.DateTimeField(null=True)),
                ("received_at", models.DateTimeField()),
                ("corrected_at", models.DateTimeField()),
                ("content_digest", models.BinaryField(max_length=32)),
                (
                    "danger_signs",
                    django.contrib.postgres.fields.ArrayField(
                        base_field=models.CharField(max_length=40), default=list, size=None
                    ),
                ),
                ("note", models.TextField(blank=True)),
                (
                    "assessor",
                    models.ForeignKey(
                        db_constraint=False,
                        db_index=False,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="scoring.assessor",
                    ),
                ),
                (
                    "horse",
                    models.ForeignKey(
                        db_constraint=False,
                        db_index=False,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="yards.horse",
                    ),
                ),
                (
                    "organisation",
                    models.ForeignKey(
                        db_index=False,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="yards.organisation",
                    ),
                ),
                (
                    "recorded_by",
                    models.ForeignKey(
                        db_index=False,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "yard",
                    models.ForeignKey(
                        db_constraint=False,
                        db_index=False,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="yards.yard",
                    ),
                ),
            ],
            options={
                "abstract": False,
            },
        ),
        migrations.CreateModel(
            name="AlertSighting",
            fields=[
                ("id", models.BigAutoField(primary_key=True, serialize=False)),
                ("ref", models.UUIDField(editable=False)),
                ("at", models.DateTimeField()),
                ("severity", models.CharField(max_length=8)),
                ("state", models.CharField(max_length=12)),
                ("said", models.JSONField()),
                ("version", models.PositiveIntegerField()),
                (
                    "alert",
                    models.ForeignKey(
                        db_constraint=False,
                        db_index=False,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="scoring.alert",
                    ),
                ),
                (
                    "organisation",
                    models.ForeignKey(
                        db_index=False,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="yards.organisation",
                    ),
                ),
                (
                    "assessment",
                    models.ForeignKey(
                        db_constraint=False,
                        db_index=False,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="scoring.assessment",
                    ),
                ),
                (
                    "concern",
                    models.ForeignKey(
                        db_constraint=False,
                        db_index=False,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="scoring.concern",
                    ),
                ),
            ],
            options={
                "abstract": False,
            },
        ),
        migrations.CreateModel(
            name="Instrument",
            fields=[
                ("id", models.BigAutoField(primary_key=True, serialize=False)),
                ("ref", models.UUIDField(editable=False)),
                ("kind", models.CharField(max_length=12)),
                ("label", models.CharField(max_length=120)),
                ("created_at", models.DateTimeField()),
                ("content_digest", models.BinaryField(max_length=32)),
                (
                    "organisation",
                    models.ForeignKey(
                        db_index=False,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="yards.organisation",
                    ),
                ),
                (
                    "yard",
                    models.ForeignKey(
                        db_constraint=False,
                        db_index=False,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="yards.yard",
                    ),
                ),
            ],
            options={
                "abstract": False,
            },
        ),
        migrations.CreateModel(
            name="Notice",
            fields=[
                ("id", models.BigAutoField(primary_key=True, serialize=False)),
                ("ref", models.UUIDField(editable=False)),
                ("key", models.CharField(max_length=64)),
                ("kind", models.CharField(max_length=16)),
                ("params", models.JSONField(default=dict)),
                ("state", models.CharField(default="pending", max_length=12)),
                ("due_at", models.DateTimeField(null=True)),
                ("created_at", models.DateTimeField()),
                ("attempts", models.PositiveSmallIntegerField(default=0)),
                ("attempted_at", models.DateTimeField(null=True)),
                ("sent_at", models.DateTimeField(null=True)),
                ("last_error", models.CharField(blank=True, max_length=300)),
                ("message_id", models.CharField(max_length=200)),
                (
                    "alert",
                    models.ForeignKey(
                        db_constraint=False,
                        db_index=False,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="scoring.alert",
                    ),
                ),
                (
                    "organisation",
                    models.ForeignKey(
                        db_index=False,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="yards.organisation",
                    ),
                ),
                (
                    "person",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "yard",
                    models.ForeignKey(
                        db_constraint=False,
                        db_index=False,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="yards.yard",
                    ),
                ),
            ],
            options={
                "abstract": False,
            },
        ),
        migrations.CreateModel(
            name="Timer",
            fields=[
                ("id", models.BigAutoField(primary_key=True, serialize=False)),
                ("ref", models.UUIDField(editable=False)),
                ("kind", models.CharField(max_length=16)),
                ("key", models.CharField(max_length=120)),
                ("due_at", models.DateTimeField(null=True)),
                ("attempts", models.PositiveSmallIntegerField(default=0)),
                ("created_at", models.DateTimeField()),
                ("done_at", models.DateTimeField(null=True)),
                (
                    "alert",
                    models.ForeignKey(
                        db_constraint=False,
                        db_index=False,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="scoring.alert",
                    ),
                ),
                (
                    "organisation",
                    models.ForeignKey(
                        db_index=False,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="yards.organisation",
                    ),
                ),
                (
                    "yard",
                    models.ForeignKey(
                        db_constraint=False,
                        db_index=False,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="yards.yard",
                    ),
                ),
            ],
            options={
                "abstract": False,
            },
        ),
        migrations.CreateModel(
            name="VetOrder",
            fields=[
                ("id", models.BigAutoField(primary_key=True, serialize=False)),
                ("ref", models.UUIDField(editable=False)),
                ("band_low", models.SmallIntegerField(null=True)),
                ("band_high", models.SmallIntegerField(null=True)),
                ("score_days", models.PositiveSmallIntegerField(null=True)),
                ("weight_days", models.PositiveSmallIntegerField(null=True)),
                ("reason", models.CharField(max_length=500)),
                ("given_at", models.DateTimeField()),
                ("until_at", models.DateTimeField()),
                ("content_digest", models.BinaryField(max_length=32)),
                (
                    "given_by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "horse",
                    models.ForeignKey(
                        db_constraint=False,
                        db_index=False,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="yards.horse",
                    ),
                ),
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
            options={
                "abstract": False,
            },
        ),
        migrations.CreateModel(
            name="Weighing",
            fields=[
                ("id", models.BigAutoField(primary_key=True, serialize=False)),
                ("ref", models.UUIDField(editable=False)),
                ("token_ref", models.UUIDField(null=True)),
                ("taken_at", models.DateTimeField()),
                ("sent_at", models.DateTimeField(null=True)),
                ("received_at", models.DateTimeField()),
                ("corrected_at", models.DateTimeField()),
                ("content_digest", models.BinaryField(max_length=32)),
                ("method", models.CharField(max_length=12)),
                ("weight_kg", models.DecimalField(decimal_places=1, max_digits=6)),
                ("formula", models.CharField(blank=True, max_length=40)),
                ("measures", models.JSONField(default=dict)),
                ("fed", models.CharField(blank=True, max_length=16)),
                ("reason", models.CharField(blank=True, max_length=500)),
                (
                    "assessor",
                    models.ForeignKey(
                        db_constraint=False,
                        db_index=False,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="scoring.assessor",
                    ),
                ),
                (
                    "horse",
                    models.ForeignKey(
                        db_constraint=False,
                        db_index=False,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="yards.horse",
                    ),
                ),
                (
                    "instrument",
                    models.ForeignKey(
                        db_constraint=False,
                        db_index=False,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="scoring.instrument",
                    ),
                ),
                (
                    "organisation",
                    models.ForeignKey(
                        db_index=False,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="yards.organisation",
                    ),
                ),
                (
                    "recorded_by",
                    models.ForeignKey(
                        db_index=False,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "supersedes",
                    models.ForeignKey(
                        db_constraint=False,
                        db_index=False,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="superseded_by",
                        to="scoring.weighing",
                    ),
                ),
                (
                    "yard",
                    models.ForeignKey(
                        db_constraint=False,
                        db_index=False,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="yards.yard",
                    ),
                ),
            ],
            options={
                "abstract": False,
            },
        ),
        migrations.CreateModel(
            name="Standing",
            fields=[
                ("id", models.BigAutoField(primary_key=True, serialize=False)),
                ("ref", models.UUIDField(editable=False)),
                ("score_filter", models.JSONField(null=True)),
                ("weight_filter", models.JSONField(null=True)),
                ("level", models.FloatField(null=True)),
                ("level_low", models.FloatField(null=True)),
                ("level_high", models.FloatField(null=True)),
                ("rate_per_month", models.FloatField(null=True)),
                ("rate_low", models.FloatField(null=True)),
                ("rate_high", models.FloatField(null=True)),
                ("place", models.CharField(blank=True, max_length=8)),
                ("score_days", models.PositiveSmallIntegerField()),
                ("weight_days", models.PositiveSmallIntegerField()),
                ("check_days", models.PositiveSmallIntegerField(null=True)),
                ("interval_reason", models.CharField(blank=True, max_length=40)),
                ("score_due_at", models.DateTimeField()),
                ("weight_due_at", models.DateTimeField()),
                ("check_due_at", models.DateTimeField(null=True)),
                (
                    "reminded_due",
                    django.contrib.postgres.fields.ArrayField(
                        base_field=models.CharField(max_length=60), default=list, size=None
                    ),
                ),
                ("open_alerts", models.PositiveSmallIntegerField(default=0)),
                ("updated_at", models.DateTimeField()),
                (
                    "horse",
                    models.ForeignKey(
                        db_constraint=False,
                        db_index=False,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="yards.horse",
                    ),
                ),
                (
                    "last_assessment",
                    models.ForeignKey(
                        db_constraint=False,
                        db_index=False,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="scoring.assessment",
                    ),
                ),
                (
                    "organisation",
                    models.ForeignKey(
                        db_index=False,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="yards.organisation",
                    ),
                ),
                (
                    "yard",
                    models.ForeignKey(
                        db_constraint=False,
                        db_index=False,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="yards.yard",
                    ),
                ),
                (
                    "last_weighing",
                    models.ForeignKey(
                        db_constraint=False,
                        db_index=False,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="scoring.weighing",
                    ),
                ),
            ],
            options={
                "abstract": False,
            },
        ),
        migrations.AddField(
            model_name="assessment",
            name="weighing",
            field=models.ForeignKey(
                db_constraint=False,
                db_index=False,
                null=True,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="+",
                to="scoring.weighing",
            ),
        ),
        migrations.AddIndex(
            model_name="alert",
            index=models.Index(fields=["organisation", "-id"], name="scoring_alert_newest"),
        ),
        migrations.AddIndex(
            model_name="alert",
            index=models.Index(fields=["organisation", "horse", "-id"], name="scoring_alert_of"),
        ),
        migrations.AddIndex(
            model_name="alert",
            index=models.Index(
                condition=models.Q(("state", "resolved"), _negated=True),
                fields=["organisation", "yard"],
                name="scoring_alert_open_in",
            ),
        ),
        migrations.AddConstraint(
            model_name="alert",
            constraint=models.UniqueConstraint(
                fields=("organisation", "ref"), name="scoring_alert_ref"
            ),
        ),
        migrations.AddConstraint(
            model_name="alert",
            constraint=models.UniqueConstraint(
                condition=models.Q(("state", "resolved"), _negated=True),
                fields=("organisation", "horse", "rule"),
                name="scoring_alert_one_open_a_rule",
            ),
        ),
        migrations.AddConstraint(
            model_name="alert",
            constraint=models.CheckConstraint(
                condition=models.Q(("state__in", ["open", "acknowledged", "snoozed", "resolved"])),
                name="scoring_alert_state",
            ),
        ),
        migrations.AddConstraint(
            model_name="alert",
            constraint=models.CheckConstraint(
                condition=models.Q(("severity__in", ["watch", "act", "urgent"])),
                name="scoring_alert_severity",
            ),
        ),
        migrations.AddConstraint(
            model_name="alert",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    models.Q(("state", "acknowledged"), _negated=True),
                    models.Q(
                        ("acknowledged_at__isnull", False),
                        ("next_step_by__isnull", False),
                        models.Q(("next_step", ""), _negated=True),
                    ),
                    _connector="OR",
                ),
                name="scoring_alert_acknowledged_names_the_step",
            ),
        ),
        migrations.AddConstraint(
            model_name="alert",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    models.Q(("state", "snoozed"), _negated=True),
                    models.Q(
                        ("snoozed_until__isnull", False),
                        models.Q(("snooze_reason", ""), _negated=True),
                    ),
                    _connector="OR",
                ),
                name="scoring_alert_snoozed_says_why_and_until",
            ),
        ),
        migrations.AddConstraint(
            model_name="alert",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    models.Q(("state", "resolved"), _negated=True),
                    models.Q(
                        ("resolved_at__isnull", False), models.Q(("resolution", ""), _negated=True)
                    ),
                    _connector="OR",
                ),
                name="scoring_alert_resolved_says_how",
            ),
        ),
        migrations.AddConstraint(
            model_name="assessor",
            constraint=models.UniqueConstraint(
                fields=("organisation", "ref"), name="scoring_assessor_ref"
            ),
        ),
        migrations.AddConstraint(
            model_name="assessor",
            constraint=models.UniqueConstraint(
                fields=("organisation", "person"), name="scoring_assessor_once_a_person"
            ),
        ),
        migrations.AddConstraint(
            model_name="assessor",
            constraint=models.CheckConstraint(
                condition=models.Q(("kind__in", ["staff", "volunteer", "vet"])),
                name="scoring_assessor_kind",
            ),
        ),
        migrations.AddIndex(
            model_name="concern",
            index=models.Index(
                fields=["organisation", "horse", "-corrected_at"], name="scoring_concern_of"
            ),
        ),
        migrations.AddConstraint(
            model_name="concern",
            constraint=models.UniqueConstraint(
                fields=("organisation", "ref"), name="scoring_concern_ref"
            ),
        ),
        migrations.AddIndex(
            model_name="alertsighting",
            index=models.Index(
                fields=["organisation", "assessment"], name="scoring_sighting_by_reading"
            ),
        ),
        migrations.AddIndex(
            model_name="alertsighting",
            index=models.Index(
                fields=["organisation", "concern"], name="scoring_sighting_by_concern"
            ),
        ),
        migrations.AddConstraint(
            model_name="alertsighting",
            constraint=models.UniqueConstraint(
                fields=("organisation", "ref"), name="scoring_alertsighting_ref"
            ),
        ),
        migrations.AddConstraint(
            model_name="instrument",
            constraint=models.UniqueConstraint(
                fields=("organisation", "ref"), name="scoring_instrument_ref"
            ),
        ),
        migrations.AddConstraint(
            model_name="instrument",
            constraint=models.CheckConstraint(
                condition=models.Q(("kind__in", ["weigh_tape", "weighbridge"])),
                name="scoring_instrument_kind",
            ),
        ),
        migrations.AddIndex(
            model_name="notice",
            index=models.Index(
                condition=models.Q(("due_at__isnull", False)),
                fields=["due_at"],
                name="scoring_notice_due",
            ),
        ),
        migrations.AddIndex(
            model_name="notice",
            index=models.Index(fields=["organisation", "alert"], name="scoring_notice_of_alert"),
        ),
        migrations.AddConstraint(
            model_name="notice",
            constraint=models.UniqueConstraint(
                fields=("organisation", "ref"), name="scoring_notice_ref"
            ),
        ),
        migrations.AddConstraint(
            model_name="notice",
            constraint=models.UniqueConstraint(
                fields=("organisation", "key"), name="scoring_notice_key"
            ),
        ),
        migrations.AddConstraint(
            model_name="notice",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    ("state__in", ["pending", "attempting", "sent", "called_off", "failed"])
                ),
                name="scoring_notice_state",
            ),
        ),
        migrations.AddIndex(
            model_name="timer",
            index=models.Index(
                condition=models.Q(("due_at__isnull", False)),
                fields=["due_at"],
                name="scoring_timer_due",
            ),
        ),
        migrations.AddIndex(
            model_name="timer",
            index=models.Index(fields=["organisation", "alert"], name="scoring_timer_of_alert"),
        ),
        migrations.AddConstraint(
            model_name="timer",
            constraint=models.UniqueConstraint(
                fields=("organisation", "ref"), name="scoring_timer_ref"
            ),
        ),
        migrations.AddConstraint(
            model_name="timer",
            constraint=models.UniqueConstraint(
                fields=("organisation", "key"), name="scoring_timer_key"
            ),
        ),
        migrations.AddIndex(
            model_name="vetorder",
            index=models.Index(fields=["organisation", "horse", "-id"], name="scoring_order_of"),
        ),
        migrations.AddConstraint(
            model_name="vetorder",
            constraint=models.UniqueConstraint(
                fields=("organisation", "ref"), name="scoring_vetorder_ref"
            ),
        ),
        migrations.AddConstraint(
            model_name="vetorder",
            constraint=models.CheckConstraint(
                condition=models.Q(("until_at__gt", models.F("given_at"))),
                name="scoring_order_ends_after_it_begins",
            ),
        ),
        migrations.AddConstraint(
            model_name="vetorder",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    models.Q(("band_high__isnull", True), ("band_low__isnull", True)),
                    models.Q(("band_high__gt", models.F("band_low")), ("band_low__isnull", False)),
                    _connector="OR",
                ),
                name="scoring_order_band_has_both_edges",
            ),
        ),
        migrations.AddIndex(
            model_name="weighing",
            index=models.Index(
                fields=["organisation", "horse", "-corrected_at", "-received_at", "-id"],
                name="scoring_weighing_of",
            ),
        ),
        migrations.AddIndex(
            model_name="weighing",
            index=models.Index(fields=["organisation", "-id"], name="scoring_weighing_newest"),
        ),
        migrations.AddConstraint(
            model_name="weighing",
            constraint=models.UniqueConstraint(
                fields=("organisation", "ref"), name="scoring_weighing_ref"
            ),
        ),
        migrations.AddConstraint(
            model_name="weighing",
            constraint=models.UniqueConstraint(
                fields=("organisation", "supersedes"), name="scoring_weighing_superseded_once"
            ),
        ),
        migrations.AddConstraint(
            model_name="weighing",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    ("method__in", ["weighbridge", "weigh_tape", "formula", "estimate"])
                ),
                name="scoring_weighing_method",
            ),
        ),
        migrations.AddConstraint(
            model_name="weighing",
            constraint=models.CheckConstraint(
                condition=models.Q(("weight_kg__gte", 5), ("weight_kg__lte", 1500)),
                name="scoring_weighing_is_a_weight",
            ),
        ),
        migrations.AddConstraint(
            model_name="weighing",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    models.Q(("reason", ""), ("supersedes__isnull", True)),
                    models.Q(
                        ("supersedes__isnull", False), models.Q(("reason", ""), _negated=True)
                    ),
                    _connector="OR",
                ),
                name="scoring_weighing_correction_says_why",
            ),
        ),
        migrations.AddIndex(
            model_name="standing",
            index=models.Index(
                fields=["organisation", "yard", "score_due_at"], name="scoring_due_score"
            ),
        ),
        migrations.AddIndex(
            model_name="standing",
            index=models.Index(
                fields=["organisation", "yard", "weight_due_at"], name="scoring_due_weight"
            ),
        ),
        migrations.AddConstraint(
            model_name="standing",
            constraint=models.UniqueConstraint(
                fields=("organisation", "ref"), name="scoring_standing_ref"
            ),
        ),
        migrations.AddConstraint(
            model_name="standing",
            constraint=models.UniqueConstraint(
                fields=("organisation", "horse"), name="scoring_standing_one_a_horse"
            ),
        ),
        migrations.AddIndex(
            model_name="assessment",
            index=models.Index(
                fields=["organisation", "horse", "-corrected_at", "-received_at", "-id"],
                name="scoring_assessment_of",
            ),
        ),
        migrations.AddIndex(
            model_name="assessment",
            index=models.Index(fields=["organisation", "-id"], name="scoring_assessment_newest"),
        ),
        migrations.AddConstraint(
            model_name="assessment",
            constraint=models.UniqueConstraint(
                fields=("organisation", "ref"), name="scoring_assessment_ref"
            ),
        ),
        migrations.AddConstraint(
            model_name="assessment",
            constraint=models.UniqueConstraint(
                fields=("organisation", "supersedes"), name="scoring_assessment_superseded_once"
            ),
        ),
        migrations.AddConstraint(
            model_name="assessment",
            constraint=models.CheckConstraint(
                condition=models.Q(("scale__in", ["five", "nine", "donkey"])),
                name="scoring_assessment_scale",
            ),
        ),
        migrations.AddConstraint(
            model_name="assessment",
            constraint=models.CheckConstraint(
                condition=models.Q(("manner__in", ["palpated", "visual"])),
                name="scoring_assessment_manner",
            ),
        ),
        migrations.AddConstraint(
            model_name="assessment",
            constraint=models.CheckConstraint(
                condition=models.Q(("fat_pocket__in", ["none", "slight", "marked"])),
                name="scoring_assessment_pocket",
            ),
        ),
        migrations.AddConstraint(
            model_name="assessment",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    models.Q(
                        ("neck__isnull", True),
                        models.Q(("neck__gte", 0), ("neck__lte", 10)),
                        _connector="OR",
                    ),
                    models.Q(
                        ("back__isnull", True),
                        models.Q(("back__gte", 0), ("back__lte", 10)),
                        _connector="OR",
                    ),
                    models.Q(
                        ("hind__isnull", True),
                        models.Q(("hind__gte", 0), ("hind__lte", 10)),
                        _connector="OR",
                    ),
                ),
                name="scoring_assessment_regions_on_scale",
            ),
        ),
        migrations.AddConstraint(
            model_name="assessment",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    ("whole__isnull", True),
                    models.Q(("scale", "nine"), ("whole__gte", 2), ("whole__lte", 18)),
                    models.Q(("scale", "donkey"), ("whole__gte", 2), ("whole__lte", 10)),
                    _connector="OR",
                ),
                name="scoring_assessment_whole_on_scale",
            ),
        ),
        migrations.AddConstraint(
            model_name="assessment",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    models.Q(("scale", "five"), ("whole__isnull", True)),
                    models.Q(
                        models.Q(("scale", "five"), _negated=True),
                        ("back__isnull", True),
                        ("hind__isnull", True),
                        ("neck__isnull", True),
                        ("fat_pocket", "none"),
                    ),
                    _connector="OR",
                ),
                name="scoring_assessment_regions_or_whole",
            ),
        ),
        migrations.AddConstraint(
            model_name="assessment",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    ("crest__isnull", True),
                    models.Q(("crest__gte", 0), ("crest__lte", 10)),
                    _connector="OR",
                ),
                name="scoring_assessment_crest_on_scale",
            ),
        ),
        migrations.AddConstraint(
            model_name="assessment",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    models.Q(("reason", ""), ("supersedes__isnull", True)),
                    models.Q(
                        ("supersedes__isnull", False), models.Q(("reason", ""), _negated=True)
                    ),
                    _connector="OR",
                ),
                name="scoring_assessment_correction_says_why",
            ),
        ),
    ]
