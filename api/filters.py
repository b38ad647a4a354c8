"""Filters in a query string: each in its form, or refused by name."""

from collections.abc import Callable, Collection
from datetime import UTC, date, datetime
from typing import TypeVar
from uuid import UUID

from rest_framework.request import Request

from yards.rules import errors, forms
from yards.rules.errors import FieldError

Value = TypeVar("Value")


def _asked(request: Request, name: str, form: Callable[[object], Value]) -> Value | None:
    raw = request.query_params.get(name)
    if not raw:
        return None
    try:
        return form(raw)
    except forms.Unfit as unfit:
        raise errors.Malformed(FieldError(name, unfit.key, unfit.params)) from unfit


def ref(request: Request, name: str) -> UUID | None:
    """Return an id asked for."""
    return _asked(request, name, forms.uuid)


def day(request: Request, name: str) -> date | None:
    """Return a day asked for."""
    return _asked(request, name, forms.local_date)


def instant(request: Request, name: str) -> datetime | None:
    """Return a time asked for, or the beginning in UTC of a day."""
    return _asked(request, name, _instant_or_day)


def _instant_or_day(raw: object) -> datetime:
    try:
        at = forms.local_date(raw)
    except forms.Unfit:
        return forms.instant(raw)
    return datetime(at.year, at.month, at.day, tzinfo=UTC)


def choice(request: Request, name: str, choices: Collection[str]) -> str:
    """Return one of a closed list asked for, or nothing."""
    return _asked(request, name, lambda raw: forms.choice(raw, choices)) or ""


def text(request: Request, name: str, most: int = 120) -> str:
    """Return words asked for, or nothing."""
    return _asked(request, name, lambda raw: forms.text(raw, most, False)) or ""
