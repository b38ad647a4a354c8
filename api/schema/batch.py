"""Batches: items in, one result each out."""

from functools import cache

from rest_framework import serializers

from api.schema import shape
from api.schema.describe import Kind
from api.schema.inspector import ProblemShape


def _named(name: str, words: str, **fields: shape.Field) -> Kind:
    made = {**fields, "__doc__": words, "Meta": type("Meta", (), {"ref_name": name})}
    return type(name, (shape.Shape,), made)


@cache
def items_of(kind: Kind) -> Kind:
    """Return the shape of a batch sent."""
    name = f"{kind.Meta.ref_name}Batch"  # type: ignore[attr-defined]
    return _named(name, "Up to 500 items.", items=kind(many=True))


@cache
def results_of(kind: Kind, answer: str) -> Kind:
    """Return the shape of a batch's answer."""
    name = kind.Meta.ref_name  # type: ignore[attr-defined]
    result = _named(
        f"{name}Result",
        "One item's result: the answer, or the problem.",
        id=serializers.CharField(allow_null=True),
        status=serializers.IntegerField(),
        problem=ProblemShape(required=False),
        **{answer: kind(required=False)},
    )
    return _named(f"{name}Results", "One result an item, in order.", results=result(many=True))
