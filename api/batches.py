"""Many creates in one request: each by itself, in order; a bad one never blocks another."""

from collections.abc import Callable, Mapping
from typing import Any

from django.db import transaction
from django.http import HttpRequest
from rest_framework.response import Response

from api import errors as answers
from scoring.actions import subjects
from yards.rules import errors
from yards.rules.errors import FieldError
from yards.rules.roles import Viewer

MOST = 500
Shown = dict[str, object]
# One item in, (the answer, whether it is a replay) out; or a refusal.
Make = Callable[[Mapping[str, Any]], tuple[Shown, bool]]


def response(
    request: HttpRequest, viewer: Viewer, raw: Mapping[str, Any], make: Make, *, name: str
) -> Response:
    """Return one result an item, in order; ``name`` is what an answer is called in its result.

    Each item has a savepoint of its own, so a refused one leaves nothing behind. All horses are
    locked first, in the one order, so that two batches wait for each other and never deadlock.
    """
    items = _items(raw)
    subjects.lock_all(viewer, items)
    return Response({"results": [_result(request, item, make, name) for item in items]})


def _items(raw: Mapping[str, Any]) -> list[Any]:
    unknown = [FieldError(each, "unknown_field") for each in raw if each != "items"]
    items = raw.get("items")
    if items is None:
        raise errors.Invalid(FieldError("items", "required"), *unknown)
    if not isinstance(items, list):
        raise errors.Invalid(FieldError("items", "not_a_list"), *unknown)
    if len(items) > MOST:
        raise errors.Invalid(FieldError("items", "too_many", {"most": MOST}), *unknown)
    if unknown:
        raise errors.Invalid(*unknown)
    return items


def _result(request: HttpRequest, item: object, make: Make, name: str) -> Shown:
    given = item.get("id") if isinstance(item, dict) else None
    try:
        if not isinstance(item, dict):
            raise errors.Invalid(FieldError("", "not_an_object"))
        with transaction.atomic():
            shown, replayed = make(item)
    except errors.Refused as refusal:
        return {
            "id": given if isinstance(given, str) else None,
            "status": refusal.status,
            "problem": answers.problem(
                refusal.status, refusal.key, refusal.errors, request_id=answers.request_id(request)
            ),
        }
    return {"id": shown["id"], "status": 200 if replayed else 201, name: shown}
