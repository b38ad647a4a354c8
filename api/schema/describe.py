"""The decorators that views wear."""

from collections.abc import Callable
from functools import cache
from typing import Any, TypeVar

from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import OpenApiParameter, extend_schema
from rest_framework import serializers

from api.schema import shape

Kind = type[shape.Shape]
Method = TypeVar("Method", bound=Callable[..., Any])


@cache
def page_of(kind: Kind) -> Kind:
    """Return the shape of one page of a list."""
    name = f"{kind.Meta.ref_name}Page"  # type: ignore[attr-defined]
    return type(
        name,
        (shape.Shape,),
        {
            "__doc__": "One page, newest first.",
            "results": kind(many=True),
            "next": serializers.URLField(allow_null=True, help_text="Older."),
            "previous": serializers.URLField(allow_null=True, help_text="Newer."),
            "Meta": type("Meta", (), {"ref_name": name}),
        },
    )


def gets(
    name: str, kind: Kind, *filters: OpenApiParameter, summary: str
) -> Callable[[Method], Method]:
    """Describe a read of one thing."""
    return _described(
        operation_id=name, responses={200: kind}, parameters=list(filters), summary=summary
    )


def lists(
    name: str, kind: Kind, *filters: OpenApiParameter, summary: str
) -> Callable[[Method], Method]:
    """Describe a paged list."""
    cursor = OpenApiParameter(
        "cursor", str, OpenApiParameter.QUERY, description="From next or previous; opaque."
    )
    return _described(
        operation_id=name,
        responses={200: page_of(kind)},
        parameters=[*filters, cursor],
        summary=summary,
    )


def makes(
    name: str, takes: Kind, answers: Kind, *, summary: str, media: str = "application/json"
) -> Callable[[Method], Method]:
    """Describe a create: 201, or 200 with the first answer when it is a replay."""
    return _described(
        operation_id=name,
        request={media: takes},
        responses={201: answers, 200: answers},
        summary=summary,
    )


def serves(name: str, media: str, *, summary: str) -> Callable[[Method], Method]:
    """Describe a read of bytes."""
    return _described(
        operation_id=name, responses={(200, media): OpenApiTypes.BINARY}, summary=summary
    )


def changes(name: str, takes: Kind, answers: Kind, *, summary: str) -> Callable[[Method], Method]:
    """Describe a change of something that is there already."""
    return _described(
        operation_id=name,
        request={"application/json": takes},
        responses={200: answers},
        summary=summary,
    )


def _described(**facts: Any) -> Callable[[Method], Method]:
    decorator: Callable[[Method], Method] = extend_schema(**facts)
    return decorator
