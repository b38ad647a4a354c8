"""Holds every answer of the tests against the published document."""

import json
import re
from functools import cache
from typing import Any

from drf_spectacular.generators import SchemaGenerator
from drf_spectacular.settings import patched_settings
from jsonschema import Draft202012Validator  # type: ignore[import-untyped]

from api.schema import document

PREFIX = "/api/v1/"


def generator() -> Any:
    """The library's generator, which is untyped."""
    return SchemaGenerator()  # type: ignore[no-untyped-call]


@cache
def published() -> dict[str, Any]:
    """The document, as the schema path serves it."""
    with patched_settings(document.SETTINGS):
        made = generator().get_schema(request=None, public=True)
    found: dict[str, Any] = json.loads(json.dumps(made, default=str))
    return found


def _strict(part: Any) -> Any:
    """The same schema, taking no member that is not described."""
    if isinstance(part, list):
        return [_strict(each) for each in part]
    if not isinstance(part, dict):
        return part
    closed = {name: _strict(each) for name, each in part.items()}
    if "properties" in closed and "additionalProperties" not in closed:
        closed["additionalProperties"] = False
    return closed


@cache
def _components() -> dict[str, Any]:
    closed: dict[str, Any] = _strict(published()["components"])
    return closed


@cache
def _paths() -> list[tuple[re.Pattern[str], str]]:
    return [
        (re.compile(re.sub(r"\\{id\\}", "[0-9a-fA-F-]{36}", re.escape(path)) + r"\Z"), path)
        for path in published()["paths"]
    ]


def template_of(path: str) -> str | None:
    """The documented path that a concrete one is of."""
    return next((known for pattern, known in _paths() if pattern.match(path)), None)


@cache
def _judge(template: str, method: str, status: str, kind: str) -> Draft202012Validator:
    """What an answer of that kind is judged by; made once, since that costs more than to judge."""
    promised = published()["paths"][template][method]["responses"][status]["content"][kind]
    schema = {"components": _components(), "allOf": [_strict(promised["schema"])]}
    return Draft202012Validator(schema, format_checker=Draft202012Validator.FORMAT_CHECKER)


def check(method: str, path: str, response: Any) -> None:
    """Fail unless the answer is one that the document promises for this call."""
    template = template_of(path.partition("?")[0])
    if template is None or response.status_code == 405:
        return
    operation = published()["paths"][template].get(method.lower())
    assert operation is not None, f"{method} {template} is not in the document"
    promised = operation["responses"]
    status = str(response.status_code)
    assert status in promised, f"{method} {template} answered {status}, which is not promised"
    kind = response["Content-Type"].partition(";")[0]
    assert kind in promised[status]["content"], f"{method} {template} {status} answered as {kind}"
    if not kind.endswith("json"):
        return  # a picture has no members
    judge = _judge(template, method.lower(), status, kind)
    faults = list(judge.iter_errors(json.loads(response.content)))
    assert not faults, f"{method} {template} {status}: {[_told(each) for each in faults]}"


def _told(fault: Any) -> str:
    return f"{'.'.join(str(each) for each in fault.absolute_path)}: {fault.message}"
