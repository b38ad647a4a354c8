"""An auditor's grant, restrictions and break-glass are held by the database: keys, walls, limits."""

import datetime

import django.db.models.deletion
import django.db.models.expressions
from django.conf import settings
from django.db import migrations, models

from yards.migrations import _tenancy as tenancy


class Migration(migrations.Migration):
    dependencies = [("yards", "0014_sight")]

    operations = [
        migrations.AddConstraint(
            model_name="grant",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    ("role", "auditor"),
                    models.Q(
                        ("record_from__isnull", True),
                        ("record_until__isnull", True),
                        ("sees_clinical", False),
                        ("sees_contacts", False),
                        ("sees_notes", False),
                    ),
                    _connector="OR",
                ),
                name="yards_grant_sight_is_an_auditors",
            ),
        ),
        migrations.AddConstraint(
            model_name="grant",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    ("record_from__isnull", True),
                    ("record_until__isnull", True),
                    ("record_until__gt", models.F("record_from")),
                    _connector="OR",
                ),
                name="yards_grant_record_ends_after_it_begins",
            ),
        ),
        migrations.AddField(
            model_name="glassbreak",
            name="approved_by",
            field=models.ForeignKey(
                null=True,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="+",
                to=settings.AUTH_USER_MODEL,
            ),
        ),
        migrations.AddField(
            model_name="glassbreak",
            name="ended_by",
            field=models.ForeignKey(
                null=True,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="+",
                to=settings.AUTH_USER_MODEL,
            ),
        ),
        migrations.AddField(
            model_name="glassbreak",
            name="organisation",
            field=models.ForeignKey(
                db_index=False,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="+",
                to="yards.organisation",
            ),
        ),
        migrations.AddField(
            model_name="glassbreak",
            name="person",
            field=models.ForeignKey(
                on_delete=django.db.models.deletion.PROTECT,
                related_name="+",
                to=settings.AUTH_USER_MODEL,
            ),
        ),
        migrations.AddField(
            model_name="restriction",
            name="horse",
            field=models.ForeignKey(
                db_constraint=False,
                db_index=False,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="+",
                to="yards.horse",
            ),
        ),
        migrations.AddField(
            model_name="restriction",
            name="lifted_by",
            field=models.ForeignKey(
                null=True,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="+",
                to=settings.AUTH_USER_MODEL,
            ),
        ),
        migrations.AddField(
            model_name="restriction",
            name="made_by",
            field=models.ForeignKey(
                on_delete=django.db.models.deletion.PROTECT,
                related_name="+",
                to=settings.AUTH_USER_MODEL,
            ),
        ),
        migrations.AddField(
            model_name="restriction",
            name="organisation",
            field=models.ForeignKey(
                db_index=False,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="+",
                to="yards.organisation",
            ),
        ),
        migrations.AddField(
            model_name="restrictionperson",
            name="organisation",
            field=models.ForeignKey(
                db_index=False,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="+",
                to="yards.organisation",
            ),
        ),
        migrations.AddField(
            model_name="restrictionperson",
            name="person",
            field=models.ForeignKey(
                on_delete=django.db.models.deletion.PROTECT,
                related_name="+",
                to=settings.AUTH_USER_MODEL,
            ),
        ),
        migrations.AddField(
            model_name="restrictionperson",
            name="restriction",
            field=models.ForeignKey(
                db_constraint=False,
                db_index=False,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="people",
                to="yards.restriction",
            ),
        ),
        migrations.AddIndex(
            model_name="glassbreak",
            index=models.Index(
                fields=["organisation", "person", "-id"], name="yards_glassbreak_of"
            ),
        ),
        migrations.AddConstraint(
            model_name="glassbreak",
            constraint=models.UniqueConstraint(
                fields=("organisation", "ref"), name="yards_glassbreak_ref"
            ),
        ),
        migrations.AddConstraint(
            model_name="glassbreak",
            constraint=models.CheckConstraint(
                condition=models.Q(("reason", ""), _negated=True), name="yards_glassbreak_says_why"
            ),
        ),
        migrations.AddConstraint(
            model_name="glassbreak",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    ("approved_by__isnull", True),
                    models.Q(("approved_by", models.F("person")), _negated=True),
                    _connector="OR",
                ),
                name="yards_glassbreak_two_people",
            ),
        ),
        migrations.AddConstraint(
            model_name="glassbreak",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    models.Q(
                        ("approved_at__isnull", True),
                        ("approved_by__isnull", True),
                        ("until_at__isnull", True),
                    ),
                    models.Q(
                        ("approved_at__isnull", False),
                        ("approved_by__isnull", False),
                        ("until_at__gt", models.F("approved_at")),
                        (
                            "until_at__lte",
                            django.db.models.expressions.CombinedExpression(
                                models.F("approved_at"),
                                "+",
                                models.Value(datetime.timedelta(seconds=3600)),
                            ),
                        ),
                    ),
                    _connector="OR",
                ),
                name="yards_glassbreak_at_most_an_hour",
            ),
        ),
        migrations.AddConstraint(
            model_name="restriction",
            constraint=models.UniqueConstraint(
                fields=("organisation", "ref"), name="yards_restriction_ref"
            ),
        ),
        migrations.AddConstraint(
            model_name="restriction",
            constraint=models.UniqueConstraint(
                condition=models.Q(("lifted_at__isnull", True)),
                fields=("organisation", "horse"),
                name="yards_restriction_once",
            ),
        ),
        migrations.AddConstraint(
            model_name="restriction",
            constraint=models.CheckConstraint(
                condition=models.Q(("reason", ""), _negated=True), name="yards_restriction_says_why"
            ),
        ),
        migrations.AddConstraint(
            model_name="restriction",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    models.Q(("lifted_at__isnull", True), ("lifted_by__isnull", True)),
                    models.Q(("lifted_at__isnull", False), ("lifted_by__isnull", False)),
                    _connector="OR",
                ),
                name="yards_restriction_lifted_by_somebody",
            ),
        ),
        migrations.AddConstraint(
            model_name="restrictionperson",
            constraint=models.UniqueConstraint(
                fields=("organisation", "ref"), name="yards_restrictionperson_ref"
            ),
        ),
        migrations.AddConstraint(
            model_name="restrictionperson",
            constraint=models.UniqueConstraint(
                fields=("organisation", "restriction", "person"),
                name="yards_restrictionperson_once",
            ),
        ),
        tenancy.tenant("yards_restriction"),
        tenancy.tenant("yards_restrictionperson", append_only=True),
        tenancy.tenant("yards_glassbreak"),
        tenancy.tie("yards_restriction", "horse_id", "yards_horse"),
        tenancy.tie("yards_restrictionperson", "restriction_id", "yards_restriction"),
        tenancy.never("yards_restrictionperson", "UPDATE", "DELETE", "TRUNCATE"),
        tenancy.never("yards_restriction", "DELETE", "TRUNCATE"),
        tenancy.never("yards_glassbreak", "DELETE", "TRUNCATE"),
        tenancy.sight("yards_horse", horse="id"),
        tenancy.sight("yards_stay", taken="from_at", ended="until_at", recorded="from_at"),
        tenancy.sight("yards_horseevent", taken="at", recorded="recorded_at"),
    ]
