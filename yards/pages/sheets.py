"""A form on a page: what was typed, what is wrong with it, and the way to the actions."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any

from django.http import QueryDict

from yards.pages import controls
from yards.queries import wording
from yards.rules.errors import FieldError, Refused

# Names of the form itself, not of the reading.
OURS = frozenset({"csrfmiddlewaretoken"})


@dataclass
class Sheet:
    """Raw texts by dotted name, the messages of each field, and what each field is called."""

    values: dict[str, Any] = field(default_factory=dict)
    errors: dict[str, list[str]] = field(default_factory=dict)
    summary: str = ""
    labels: Mapping[str, str] = field(default_factory=dict)


def typed(post: QueryDict, lists: Iterable[str] = ()) -> dict[str, Any]:
    """Return what was typed, kept just as it was."""
    many = frozenset(lists)
    return {
        name: post.getlist(name) if name in many else post.get(name, "")
        for name in post
        if name not in OURS
    }


def refused(
    values: Mapping[str, Any], refusal: Refused, asked: Iterable[controls.Control] = ()
) -> Sheet:
    """Return a form again with everything typed and every fault said at its field.

    ``asked`` are the form's controls, whose quantities are said in the reader's units.
    """
    errors: dict[str, list[str]] = {}
    for fault in controls.retold(asked, refusal.errors or (FieldError("", refusal.key),)):
        errors.setdefault(_control(fault.field), []).append(wording.say(fault.key, fault.params))
    return Sheet(dict(values), errors)


def _control(field: str) -> str:
    """Return the control that a fault belongs to: the place in a list has none of its own."""
    return field.rpartition(".")[0] if field.rpartition(".")[2].isdecimal() else field
