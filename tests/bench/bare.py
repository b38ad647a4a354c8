"""The floor that a single POST is held against: REST framework as its own tutorial has it.

A ModelSerializer and a CreateAPIView, with one foreign key looked up, into a table of the same
columns that has a primary key and nothing else: no isolation, no sign-in, no rules, no ledger.
"""

from typing import Any

from django.db import models
from django.urls import include, path
from rest_framework import generics, serializers

from scoring.models import Assessment

TABLE, COPIED, HORSES = "bench_assessment", "bench_copy", "bench_horse"


class BareHorse(models.Model):
    """What the foreign key points at."""

    class Meta:
        app_label = "bench"
        db_table = HORSES

    def __str__(self) -> str:
        return str(self.pk)


def _like(field: Any) -> Any:
    """Return the same column as a plain field of a table that knows no other."""
    if field.name == "horse":
        return models.ForeignKey(BareHorse, on_delete=models.PROTECT, related_name="+")
    if not field.is_relation:
        made = field.clone()
        made.blank, made.editable = made.blank or made.has_default(), True
        return made
    plain = models.UUIDField if field.name in {"organisation", "recorded_by"} else None
    return (plain or models.BigIntegerField)(null=field.null, db_column=field.column)


def _fields() -> dict[str, Any]:
    kept = [each for each in Assessment._meta.concrete_fields if not each.generated]
    return {each.name: _like(each) for each in kept}


BareAssessment: Any = type(
    "BareAssessment",
    (models.Model,),
    {
        "__module__": __name__,
        "Meta": type("Meta", (), {"app_label": "bench", "db_table": TABLE}),
        **_fields(),
    },
)


class BareSerializer(serializers.ModelSerializer[Any]):
    """Every column that JSON can carry."""

    class Meta:
        model = BareAssessment
        exclude = ["content_digest"]


class BareView(generics.CreateAPIView[Any]):
    """Takes a row and answers it."""

    queryset = BareAssessment.objects.all()
    serializer_class = BareSerializer
    authentication_classes: list[Any] = []
    permission_classes: list[Any] = []

    def perform_create(self, serializer: Any) -> None:
        """Keep it; the digest is no field of JSON."""
        serializer.save(content_digest=b"\x00" * 32)


urlpatterns = [path("bare/", BareView.as_view()), path("", include("deploy.urls"))]

MADE = (
    f"CREATE TABLE {HORSES} (id bigint PRIMARY KEY)",
    f"CREATE TABLE {TABLE} (LIKE scoring_assessment INCLUDING DEFAULTS INCLUDING GENERATED"
    " INCLUDING IDENTITY, PRIMARY KEY (id),"
    f" FOREIGN KEY (horse_id) REFERENCES {HORSES} (id))",
    f"CREATE TABLE {COPIED} (LIKE scoring_assessment INCLUDING DEFAULTS INCLUDING GENERATED"
    " INCLUDING IDENTITY, PRIMARY KEY (id))",
)
