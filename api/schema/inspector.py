"""Describes every view in the one way: its tag, who may, and how it refuses."""

from collections.abc import Mapping
from typing import Any, Literal

from drf_spectacular.openapi import AutoSchema
from rest_framework import serializers

from api.schema import shape
from yards.rules.roles import MAY, Role, Verb

PROBLEM = "application/problem+json"
_ALWAYS = {
    "400": "Malformed: it cannot be read.",
    "401": "Nobody we know.",
    "403": "Your role may not.",
    "409": "Another organisation than you work in; the same id with other content; stale.",
    "429": "Too many requests in a minute; a batch counts as one.",
    "503": "Nothing was written; send it again.",
}
_RETRY_AFTER = {
    "Retry-After": {
        "description": "Seconds to wait before the next request.",
        "schema": {"type": "integer", "minimum": 1},
    }
}
_AGAIN = frozenset({"429", "503"})
_OF_IDS = {"404": "No such thing, or none that you may know of. The two are never told apart."}
_OF_WRITES = {
    "413": "The body is over the limit.",
    "415": "The body is not JSON.",
    "422": "Well-formed, but impossible.",
}


class FaultShape(shape.Shape):
    """One fault."""

    field = serializers.CharField(help_text="Dotted path to the field; empty for the whole.")
    message = serializers.CharField(help_text="What to do about it.")

    class Meta:
        ref_name = "Fault"


class ProblemShape(shape.Shape):
    """A refusal, as RFC 9457 has it."""

    type = serializers.CharField()
    title = serializers.CharField()
    status = serializers.IntegerField()
    detail = serializers.CharField()
    request_id = serializers.CharField()

    class Meta:
        ref_name = "Problem"

    reserved = {"errors": FaultShape(many=True)}


class Inspector(AutoSchema):
    """The library's own, taught what all our views have in common."""

    def get_auth(self) -> list[dict[str, list[str]]]:
        """Return the two ways in."""
        return [{"token": []}, {"session": []}]

    def get_tags(self) -> list[str]:
        """Return the resource's name."""
        return [self.path.removeprefix("/api/v1/").split("/")[0]]

    def get_description(self) -> str:  # type: ignore[override]  # as the library's own does
        """Return the view's own words, and the roles that may."""
        said = super().get_description() or ""
        named: Verb | Mapping[str, Verb] = self.view.verb  # type: ignore[attr-defined]  # ours all have one
        verb = named[self.method.lower()] if isinstance(named, Mapping) else named
        return f"{said}\n\nMay: {', '.join(_holders(verb))}.".strip()

    def _get_response_bodies(
        self, direction: Literal["request", "response"] = "response"
    ) -> dict[str, Any]:
        found: dict[str, Any] = super()._get_response_bodies(direction)
        refusals = dict(_ALWAYS)
        if "{" in self.path or self.method == "GET":
            refusals |= _OF_IDS
        if self.method != "GET" or self._get_parameters():
            refusals |= _OF_WRITES if self.method != "GET" else {"422": _OF_WRITES["422"]}
        ref = self.resolve_serializer(ProblemShape, direction).ref
        content = {PROBLEM: {"schema": ref}}
        return found | {
            code: {
                "description": words,
                "content": content,
                **({"headers": _RETRY_AFTER} if code in _AGAIN else {}),
            }
            for code, words in sorted(refusals.items())
        }


def _holders(verb: Verb) -> list[str]:
    return [role.value for role in Role if role is not Role.SYSTEM and verb in MAY[role]]
