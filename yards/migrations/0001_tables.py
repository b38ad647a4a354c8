import django.contrib.postgres.constraints
import django.contrib.postgres.fields.ranges
import django.db.models.deletion
from django.conf import settings
from django.contrib.postgres.operations import BtreeGistExtension
from django.db import migrations, models


class Migration(migrations.Migration):
    initial = True

    dependencies = []

    operations = [
        BtreeGistExtension(),
        migrations.CreateModel(
            name="User",
            fields=[
                ("password", models.CharField(max_length=128, verbose_name="password")),
                (
                    "last_login",
                    models.DateTimeField(blank=True, null=True, verbose_name="last login"),
                ),
                ("id", models.UUIDField(primary_key=True, serialize=False)),
                ("email", models.EmailField(max_length=254, unique=True)),
                ("name", models.CharField(max_length=120)),
                ("language", models.CharField(default="en-gb", max_length=12)),
                ("is_active", models.BooleanField(default=True)),
                ("created_at", models.DateTimeField()),
            ],
            options={
                "abstract": False,
            },
        ),
        migrations.CreateModel(
            name="Entry",
            fields=[
                ("id", models.BigAutoField(primary_key=True, serialize=False)),
                ("ref", models.UUIDField(editable=False)),
                ("at", models.DateTimeField()),
                ("actor", models.CharField(max_length=60)),
                ("via", models.CharField(max_length=12)),
                ("verb", models.CharField(max_length=60)),
                ("target_kind", models.CharField(max_length=24)),
                ("target_ref", models.UUIDField(null=True)),
                ("body", models.BinaryField()),
                ("leaf", models.BinaryField(max_length=32)),
            ],
            options={
                "abstract": False,
            },
        ),
        migrations.CreateModel(
            name="Organisation",
            fields=[
                ("id", models.UUIDField(primary_key=True, serialize=False)),
                ("name", models.CharField(max_length=120)),
                ("name_key", models.CharField(max_length=240)),
                ("created_at", models.DateTimeField()),
            ],
        ),
        migrations.CreateModel(
            name="Grant",
            fields=[
                ("id", models.BigAutoField(primary_key=True, serialize=False)),
                ("ref", models.UUIDField(editable=False)),
                ("role", models.CharField(max_length=16)),
                ("all_yards", models.BooleanField(default=False)),
                ("from_at", models.DateTimeField()),
                ("until_at", models.DateTimeField(null=True)),
                ("reason", models.CharField(blank=True, max_length=300)),
                ("issued_at", models.DateTimeField()),
                ("revoked_at", models.DateTimeField(null=True)),
                ("registration_number", models.CharField(blank=True, max_length=40)),
                ("register", models.CharField(blank=True, max_length=80)),
                ("confirmed_at", models.DateTimeField(null=True)),
                ("content_digest", models.BinaryField(max_length=32)),
                (
                    "issued_by",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
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
                    "revoked_by",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
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
            name="Horse",
            fields=[
                ("id", models.BigAutoField(primary_key=True, serialize=False)),
                ("ref", models.UUIDField(editable=False)),
                ("name", models.CharField(max_length=120)),
                ("name_key", models.CharField(max_length=240)),
                ("species", models.CharField(max_length=8)),
                ("kind", models.CharField(blank=True, max_length=24)),
                ("sex", models.CharField(blank=True, max_length=12)),
                ("born", models.CharField(blank=True, max_length=10)),
                ("born_earliest", models.DateField(null=True)),
                ("born_basis", models.CharField(blank=True, max_length=16)),
                ("height_cm", models.DecimalField(decimal_places=1, max_digits=4, null=True)),
                ("use", models.CharField(max_length=24)),
                ("breeding", models.CharField(blank=True, max_length=24)),
                ("laminitis", models.CharField(max_length=16)),
                ("endocrine", models.CharField(max_length=16)),
                ("transponder", models.CharField(blank=True, max_length=15)),
                ("ueln", models.CharField(blank=True, max_length=15)),
                ("status", models.CharField(max_length=12)),
                ("ended_at", models.DateTimeField(null=True)),
                ("is_unknown", models.BooleanField(default=False)),
                ("created_at", models.DateTimeField()),
                ("version", models.PositiveIntegerField(default=1)),
                (
                    "merged_into",
                    models.ForeignKey(
                        db_constraint=False,
                        db_index=False,
                        null=True,
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
            name="EntryPayload",
            fields=[
                ("id", models.BigAutoField(primary_key=True, serialize=False)),
                ("ref", models.UUIDField(editable=False)),
                ("salt", models.BinaryField(max_length=32)),
                ("payload", models.BinaryField()),
                (
                    "entry",
                    models.ForeignKey(
                        db_constraint=False,
                        db_index=False,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="yards.entry",
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
        migrations.AddField(
            model_name="entry",
            name="organisation",
            field=models.ForeignKey(
                db_index=False,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="+",
                to="yards.organisation",
            ),
        ),
        migrations.CreateModel(
            name="Token",
            fields=[
                ("id", models.BigAutoField(primary_key=True, serialize=False)),
                ("ref", models.UUIDField(editable=False)),
                ("is_device", models.BooleanField(default=False)),
                ("label", models.CharField(max_length=120)),
                ("digest", models.BinaryField(max_length=32, unique=True)),
                ("created_at", models.DateTimeField()),
                ("expires_at", models.DateTimeField()),
                ("revoked_at", models.DateTimeField(null=True)),
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
            ],
            options={
                "abstract": False,
            },
        ),
        migrations.CreateModel(
            name="Yard",
            fields=[
                ("id", models.BigAutoField(primary_key=True, serialize=False)),
                ("ref", models.UUIDField(editable=False)),
                ("name", models.CharField(max_length=120)),
                ("name_key", models.CharField(max_length=240)),
                ("time_zone", models.CharField(max_length=64)),
                ("hemisphere", models.CharField(max_length=8)),
                ("spring_first", models.CharField(blank=True, max_length=5)),
                ("spring_last", models.CharField(blank=True, max_length=5)),
                ("vet_practice", models.CharField(blank=True, max_length=120)),
                ("vet_phone", models.CharField(blank=True, max_length=32)),
                ("vet_out_of_hours_phone", models.CharField(blank=True, max_length=32)),
                ("vet_second_phone", models.CharField(blank=True, max_length=32)),
                ("quiet_from", models.TimeField(null=True)),
                ("quiet_to", models.TimeField(null=True)),
                ("created_at", models.DateTimeField()),
                ("version", models.PositiveIntegerField(default=1)),
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
            name="Stay",
            fields=[
                ("id", models.BigAutoField(primary_key=True, serialize=False)),
                ("ref", models.UUIDField(editable=False)),
                ("from_at", models.DateTimeField()),
                ("until_at", models.DateTimeField(null=True)),
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
        migrations.AddField(
            model_name="horse",
            name="yard",
            field=models.ForeignKey(
                db_constraint=False,
                db_index=False,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="+",
                to="yards.yard",
            ),
        ),
        migrations.CreateModel(
            name="GrantYard",
            fields=[
                ("id", models.BigAutoField(primary_key=True, serialize=False)),
                ("ref", models.UUIDField(editable=False)),
                (
                    "grant",
                    models.ForeignKey(
                        db_constraint=False,
                        db_index=False,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="yards",
                        to="yards.grant",
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
            ],
            options={
                "abstract": False,
            },
        ),
        migrations.CreateModel(
            name="HorseEvent",
            fields=[
                ("id", models.BigAutoField(primary_key=True, serialize=False)),
                ("ref", models.UUIDField(editable=False)),
                ("kind", models.CharField(max_length=24)),
                ("at", models.DateTimeField()),
                ("note", models.CharField(blank=True, max_length=500)),
                ("recorded_at", models.DateTimeField()),
                ("content_digest", models.BinaryField(max_length=32)),
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
                    "recorded_by",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
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
                "indexes": [
                    models.Index(fields=["organisation", "horse", "-at"], name="yards_event_of")
                ],
                "constraints": [
                    models.UniqueConstraint(
                        fields=("organisation", "ref"), name="yards_horseevent_ref"
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="GrantHorse",
            fields=[
                ("id", models.BigAutoField(primary_key=True, serialize=False)),
                ("ref", models.UUIDField(editable=False)),
                (
                    "grant",
                    models.ForeignKey(
                        db_constraint=False,
                        db_index=False,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="horses",
                        to="yards.grant",
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
                "constraints": [
                    models.UniqueConstraint(
                        fields=("organisation", "ref"), name="yards_granthorse_ref"
                    ),
                    models.UniqueConstraint(
                        fields=("organisation", "grant", "horse"), name="yards_granthorse_once"
                    ),
                ],
            },
        ),
        migrations.AddIndex(
            model_name="grant",
            index=models.Index(fields=["organisation", "person"], name="yards_grant_of"),
        ),
        migrations.AddConstraint(
            model_name="grant",
            constraint=models.UniqueConstraint(
                fields=("organisation", "ref"), name="yards_grant_ref"
            ),
        ),
        migrations.AddConstraint(
            model_name="grant",
            constraint=models.CheckConstraint(
                condition=models.Q(("role__in", ["coordinator", "assessor", "vet", "auditor"])),
                name="yards_grant_role",
            ),
        ),
        migrations.AddConstraint(
            model_name="grant",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    ("until_at__isnull", True),
                    ("until_at__gt", models.F("from_at")),
                    _connector="OR",
                ),
                name="yards_grant_ends_after_it_begins",
            ),
        ),
        migrations.AddConstraint(
            model_name="grant",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    models.Q(("role", "vet"), _negated=True),
                    models.Q(
                        models.Q(("registration_number", ""), _negated=True),
                        models.Q(("register", ""), _negated=True),
                    ),
                    _connector="OR",
                ),
                name="yards_grant_vet_is_registered",
            ),
        ),
        migrations.AddConstraint(
            model_name="grant",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    ("issued_by__isnull", True),
                    models.Q(("role", "vet"), _negated=True),
                    models.Q(("issued_by", models.F("person")), _negated=True),
                    _connector="OR",
                ),
                name="yards_grant_never_by_its_holder",
            ),
        ),
        migrations.AddConstraint(
            model_name="entrypayload",
            constraint=models.UniqueConstraint(
                fields=("organisation", "ref"), name="yards_entrypayload_ref"
            ),
        ),
        migrations.AddConstraint(
            model_name="entrypayload",
            constraint=models.UniqueConstraint(
                fields=("organisation", "entry"), name="yards_payload_of"
            ),
        ),
        migrations.AddIndex(
            model_name="entry",
            index=models.Index(
                fields=["organisation", "target_ref", "verb"], name="yards_entry_by_target"
            ),
        ),
        migrations.AddIndex(
            model_name="entry",
            index=models.Index(fields=["organisation", "-id"], name="yards_entry_newest"),
        ),
        migrations.AddConstraint(
            model_name="entry",
            constraint=models.UniqueConstraint(
                fields=("organisation", "ref"), name="yards_entry_ref"
            ),
        ),
        migrations.AddConstraint(
            model_name="token",
            constraint=models.UniqueConstraint(
                fields=("organisation", "ref"), name="yards_token_ref"
            ),
        ),
        migrations.AddConstraint(
            model_name="token",
            constraint=models.CheckConstraint(
                condition=models.Q(("expires_at__gt", models.F("created_at"))),
                name="yards_token_ends_after_it_begins",
            ),
        ),
        migrations.AddIndex(
            model_name="yard",
            index=models.Index(fields=["organisation", "name_key"], name="yards_yard_by_name"),
        ),
        migrations.AddConstraint(
            model_name="yard",
            constraint=models.UniqueConstraint(
                fields=("organisation", "ref"), name="yards_yard_ref"
            ),
        ),
        migrations.AddConstraint(
            model_name="yard",
            constraint=models.CheckConstraint(
                condition=models.Q(("hemisphere__in", ["north", "south", "none"])),
                name="yards_yard_hemisphere",
            ),
        ),
        migrations.AddConstraint(
            model_name="yard",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    models.Q(("spring_first", ""), ("spring_last", "")),
                    models.Q(
                        models.Q(("spring_first", ""), _negated=True),
                        models.Q(("spring_last", ""), _negated=True),
                    ),
                    _connector="OR",
                ),
                name="yards_yard_spring_has_both_ends",
            ),
        ),
        migrations.AddConstraint(
            model_name="yard",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    models.Q(("quiet_from__isnull", True), ("quiet_to__isnull", True)),
                    models.Q(("quiet_from__isnull", False), ("quiet_to__isnull", False)),
                    _connector="OR",
                ),
                name="yards_yard_quiet_has_both_ends",
            ),
        ),
        migrations.AddIndex(
            model_name="stay",
            index=models.Index(fields=["organisation", "horse", "from_at"], name="yards_stay_of"),
        ),
        migrations.AddConstraint(
            model_name="stay",
            constraint=models.UniqueConstraint(
                fields=("organisation", "ref"), name="yards_stay_ref"
            ),
        ),
        migrations.AddConstraint(
            model_name="stay",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    ("until_at__isnull", True),
                    ("until_at__gt", models.F("from_at")),
                    _connector="OR",
                ),
                name="yards_stay_ends_after_it_begins",
            ),
        ),
        migrations.AddConstraint(
            model_name="stay",
            constraint=django.contrib.postgres.constraints.ExclusionConstraint(
                expressions=[
                    ("horse", "="),
                    (
                        models.Func(
                            "from_at",
                            "until_at",
                            function="TSTZRANGE",
                            output_field=django.contrib.postgres.fields.ranges.DateTimeRangeField(),
                        ),
                        "&&",
                    ),
                ],
                name="yards_stay_never_overlaps",
            ),
        ),
        migrations.AddIndex(
            model_name="horse",
            index=models.Index(
                fields=["organisation", "yard", "name_key"], name="yards_horse_by_yard"
            ),
        ),
        migrations.AddIndex(
            model_name="horse",
            index=models.Index(fields=["organisation", "name_key"], name="yards_horse_by_name"),
        ),
        migrations.AddIndex(
            model_name="horse",
            index=models.Index(
                fields=["organisation", "transponder"], name="yards_horse_by_transponder"
            ),
        ),
        migrations.AddConstraint(
            model_name="horse",
            constraint=models.UniqueConstraint(
                fields=("organisation", "ref"), name="yards_horse_ref"
            ),
        ),
        migrations.AddConstraint(
            model_name="horse",
            constraint=models.CheckConstraint(
                condition=models.Q(("species__in", ["horse", "donkey", "mule"])),
                name="yards_horse_species",
            ),
        ),
        migrations.AddConstraint(
            model_name="horse",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    ("status__in", ["present", "away", "rehomed", "dead", "merged"])
                ),
                name="yards_horse_status",
            ),
        ),
        migrations.AddConstraint(
            model_name="horse",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    models.Q(("ended_at__isnull", True), ("status__in", ["present", "away"])),
                    models.Q(
                        ("ended_at__isnull", False), ("status__in", ["rehomed", "dead", "merged"])
                    ),
                    _connector="OR",
                ),
                name="yards_horse_ended_when_gone",
            ),
        ),
        migrations.AddConstraint(
            model_name="horse",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    models.Q(("merged_into__isnull", False), ("status", "merged")),
                    models.Q(
                        models.Q(("status", "merged"), _negated=True), ("merged_into__isnull", True)
                    ),
                    _connector="OR",
                ),
                name="yards_horse_merged_names_the_other",
            ),
        ),
        migrations.AddConstraint(
            model_name="grantyard",
            constraint=models.UniqueConstraint(
                fields=("organisation", "ref"), name="yards_grantyard_ref"
            ),
        ),
        migrations.AddConstraint(
            model_name="grantyard",
            constraint=models.UniqueConstraint(
                fields=("organisation", "grant", "yard"), name="yards_grantyard_once"
            ),
        ),
    ]
