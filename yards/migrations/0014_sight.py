"""What an auditor's grant opens, horses for named people only, and break-glass."""

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("yards", "0012_invitations"),
    ]

    operations = [
        migrations.CreateModel(
            name="GlassBreak",
            fields=[
                ("id", models.BigAutoField(primary_key=True, serialize=False)),
                ("ref", models.UUIDField(editable=False)),
                ("reason", models.CharField(max_length=300)),
                ("asked_at", models.DateTimeField()),
                ("approved_at", models.DateTimeField(null=True)),
                ("until_at", models.DateTimeField(null=True)),
                ("ended_at", models.DateTimeField(null=True)),
            ],
            options={
                "abstract": False,
            },
        ),
        migrations.CreateModel(
            name="Restriction",
            fields=[
                ("id", models.BigAutoField(primary_key=True, serialize=False)),
                ("ref", models.UUIDField(editable=False)),
                ("reason", models.CharField(max_length=300)),
                ("made_at", models.DateTimeField()),
                ("lifted_at", models.DateTimeField(null=True)),
            ],
            options={
                "abstract": False,
            },
        ),
        migrations.CreateModel(
            name="RestrictionPerson",
            fields=[
                ("id", models.BigAutoField(primary_key=True, serialize=False)),
                ("ref", models.UUIDField(editable=False)),
            ],
            options={
                "abstract": False,
            },
        ),
        migrations.AddField(
            model_name="grant",
            name="record_from",
            field=models.DateTimeField(null=True),
        ),
        migrations.AddField(
            model_name="grant",
            name="record_until",
            field=models.DateTimeField(null=True),
        ),
        migrations.AddField(
            model_name="grant",
            name="sees_clinical",
            field=models.BooleanField(db_default=False, default=False),
        ),
        migrations.AddField(
            model_name="grant",
            name="sees_contacts",
            field=models.BooleanField(db_default=False, default=False),
        ),
        migrations.AddField(
            model_name="grant",
            name="sees_notes",
            field=models.BooleanField(db_default=False, default=False),
        ),
    ]
