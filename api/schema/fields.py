"""The forms that values take, described once."""

from typing import Any

from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import OpenApiParameter, extend_schema_field
from rest_framework import serializers

from scoring.rules import weighing

DECIMAL = r"^[0-9]+(\.[0-9]+)?$"


@extend_schema_field({"type": "string", "pattern": DECIMAL})
class DecimalOut(serializers.Field[Any, Any, Any, Any]):
    """A decimal as it goes out: a string."""


@extend_schema_field({"type": "string", "pattern": r"^-?[0-9]+(\.[0-9]+)?$"})
class SignedOut(serializers.Field[Any, Any, Any, Any]):
    """A rate or change as it goes out: a string that may begin with a minus sign."""


@extend_schema_field(
    {"oneOf": [{"type": "string", "pattern": DECIMAL}, {"type": "number", "minimum": 0}]}
)
class DecimalIn(serializers.Field[Any, Any, Any, Any]):
    """A decimal as it comes in: a string or a number."""


@extend_schema_field({"type": "string", "format": "binary"})
class FileIn(serializers.Field[Any, Any, Any, Any]):
    """A file as it comes in: bytes."""


@extend_schema_field({"type": "object", "additionalProperties": {"type": "string"}})
class Words(serializers.Field[Any, Any, Any, Any]):
    """Names to words."""


@extend_schema_field(
    {
        "type": "object",
        "properties": {
            name: {"oneOf": [{"type": "string", "pattern": DECIMAL}, {"type": "number"}]}
            for name in weighing.MEASURES
        },
    }
)
class Measures(serializers.Field[Any, Any, Any, Any]):
    """Raw measures in centimetres."""


@extend_schema_field(
    {
        "type": "object",
        "additionalProperties": {
            "type": "object",
            "additionalProperties": {
                "oneOf": [
                    {"type": "string", "pattern": DECIMAL},
                    {"type": "number", "minimum": 0},
                    {"type": "null"},
                ]
            },
        },
    }
)
class Thresholds(serializers.Field[Any, Any, Any, Any]):
    """Thresholds by scale and measure: {"five": {"overall": "4.5"}}; null is the default."""


@extend_schema_field(
    {
        "oneOf": [
            {"type": "string", "enum": ["all"]},
            {"type": "array", "items": {"type": "string", "format": "uuid"}},
        ]
    }
)
class AllOrRefs(serializers.Field[Any, Any, Any, Any]):
    """The word all, or a list of ids."""


@extend_schema_field({"type": ["object", "null"], "additionalProperties": True})
class Anything(serializers.Field[Any, Any, Any, Any]):
    """An object whose members are not part of the contract."""


def choice(values: Any, **kwargs: Any) -> serializers.ChoiceField:
    """Return a closed list."""
    return serializers.ChoiceField(choices=list(values), **kwargs)


def query(name: str, kind: Any = OpenApiTypes.STR, **kwargs: Any) -> OpenApiParameter:
    """Return a filter of a list."""
    return OpenApiParameter(name, kind, OpenApiParameter.QUERY, **kwargs)


REF, INSTANT = OpenApiTypes.UUID, OpenApiTypes.DATETIME
