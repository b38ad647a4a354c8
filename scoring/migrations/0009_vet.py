from typing import TYPE_CHECKING, Any

import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models

from yards.migrations import _tenancy as tenancy

if TYPE_CHECKING:
    _Named = tuple[str, models.Field[Any, Any]]


def _to(model: str, **how: Any) -> "models.ForeignKey[Any, Any]":
    """Return a key to a row of the organisation; what it is tied to in SQL stands below."""
    kept: dict[str, Any] = {
        "db_index": False,
        "on_delete": django.db.models.deletion.PROTECT,
        "related_name": "+",
    }
    return models.ForeignKey(to=model, **{**kept, **how})


def _row(*fields: "_Named") -> "list[_Named]":
    return [
        ("id", models.BigAutoField(primary_key=True, serialize=False)),
        ("ref", models.UUIDField(editable=False)),
        *fields,
        ("organisation", _to("yards.organisation")),
    ]


def _ref(table: str) -> models.UniqueConstraint:
    return models.UniqueConstraint(fields=("organisation", "ref"), name=f"{table}_ref")


_HORSE = ("horse", _to("yards.horse", db_constraint=False))
_USER = settings.AUTH_USER_MODEL
_TABLES = (
    "scoring_question",
    "scoring_questionend",
    "scoring_vetorderend",
    "scoring_clinicalnote",
)


class Migration(migrations.Migration):
    """Questions to the vet, clinical notes, and orders that a vet ends early."""

    dependencies = [
        ("scoring", "0008_board"),
        ("yards", "0010_board"),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = [
        migrations.CreateModel(
            name="Question",
            fields=_row(
                ("text", models.CharField(max_length=2000)),
                ("asked_at", models.DateTimeField()),
                ("asked_by", _to(_USER)),
                _HORSE,
            ),
            options={
                "abstract": False,
                "indexes": [
                    models.Index(
                        fields=["organisation", "horse", "-id"], name="scoring_question_of"
                    ),
                    models.Index(fields=["organisation", "-id"], name="scoring_question_newest"),
                ],
                "constraints": [
                    _ref("scoring_question"),
                    models.CheckConstraint(
                        condition=models.Q(("text", ""), _negated=True),
                        name="scoring_question_asks",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="QuestionEnd",
            fields=_row(
                ("how", models.CharField(max_length=12)),
                ("text", models.CharField(max_length=2000)),
                ("ended_at", models.DateTimeField()),
                ("ended_by", _to(_USER)),
                (
                    "question",
                    _to("scoring.question", db_constraint=False, related_name="ends"),
                ),
            ),
            options={
                "abstract": False,
                "constraints": [
                    _ref("scoring_questionend"),
                    models.UniqueConstraint(
                        fields=("organisation", "question"), name="scoring_question_ends_once"
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("how__in", ("answered", "withdrawn")),
                            models.Q(("text", ""), _negated=True),
                        ),
                        name="scoring_question_end_says_how",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="VetOrderEnd",
            fields=_row(
                ("reason", models.CharField(max_length=500)),
                ("ended_at", models.DateTimeField()),
                ("ended_by", _to(_USER)),
                ("order", _to("scoring.vetorder", db_constraint=False, related_name="ends")),
            ),
            options={
                "abstract": False,
                "constraints": [
                    _ref("scoring_vetorderend"),
                    models.UniqueConstraint(
                        fields=("organisation", "order"), name="scoring_order_ends_once"
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("reason", ""), _negated=True),
                        name="scoring_order_end_says_why",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="ClinicalNote",
            fields=_row(
                ("text", models.TextField()),
                ("reason", models.CharField(blank=True, max_length=500)),
                ("written_at", models.DateTimeField()),
                ("salt", models.BinaryField(max_length=32)),
                _HORSE,
                ("yard", _to("yards.yard", db_constraint=False)),
                ("written_by", _to(_USER)),
                (
                    "supersedes",
                    _to(
                        "scoring.clinicalnote",
                        db_constraint=False,
                        null=True,
                        related_name="superseded_by",
                    ),
                ),
            ),
            options={
                "abstract": False,
                "indexes": [
                    models.Index(fields=["organisation", "horse", "-id"], name="scoring_note_of")
                ],
                "constraints": [
                    _ref("scoring_clinicalnote"),
                    models.UniqueConstraint(
                        fields=("organisation", "supersedes"), name="scoring_note_superseded_once"
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("reason", ""), ("supersedes__isnull", True)),
                            models.Q(
                                ("supersedes__isnull", False),
                                models.Q(("reason", ""), _negated=True),
                            ),
                            _connector="OR",
                        ),
                        name="scoring_note_corrected_with_a_reason",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("text", ""), _negated=True),
                        name="scoring_note_says_something",
                    ),
                ],
            },
        ),
        *(
            migrations.AddIndex(
                model_name=name,
                index=models.Index(
                    fields=["organisation", "recorded_by", "-received_at"],
                    name=f"scoring_{name}_by",
                ),
            )
            for name in ("assessment", "weighing")
        ),
        *(tenancy.tenant(table, append_only=True) for table in _TABLES),
        tenancy.tie("scoring_question", "horse_id", "yards_horse"),
        tenancy.tie("scoring_questionend", "question_id", "scoring_question"),
        tenancy.tie("scoring_vetorderend", "order_id", "scoring_vetorder"),
        tenancy.tie("scoring_clinicalnote", "horse_id", "yards_horse"),
        tenancy.tie("scoring_clinicalnote", "yard_id", "yards_yard"),
        tenancy.tie("scoring_clinicalnote", "supersedes_id", "scoring_clinicalnote"),
        *(tenancy.never(table, "UPDATE", "DELETE", "TRUNCATE") for table in _TABLES),
    ]
