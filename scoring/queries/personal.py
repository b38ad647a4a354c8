"""All that an organisation's tables hold of one person, found by what points at them.

A table that is added later, with a person in it, is in the answer by itself: none is listed here.
"""

import json
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from typing import Any
from uuid import UUID

from django.apps import apps
from django.db import models
from django.db.models import Q

from yards.access import doors
from yards.models import Grant, Owned, User
from yards.queries import erasing, ledger, people
from yards.rules import errors
from yards.rules.roles import Verb, Viewer

# Of the person's own row; neither the password's hash nor what only signing in needs.
OWN = (
    *("id", "name", "email", "language", "weight_unit", "length_unit", "height_unit"),
    *("is_active", "created_at"),
)
ERASED = ("id", "name")


@dataclass(frozen=True, slots=True)
class Held:
    """What is held of a person: their own row, and by table the rows that name them."""

    person: dict[str, Any]
    tables: dict[str, list[dict[str, Any]]]

    @property
    def counts(self) -> dict[str, int]:
        """How many rows of each table."""
        return {name: len(rows) for name, rows in self.tables.items()}


def list_known(viewer: Viewer) -> tuple[people.PersonName, ...]:
    """Return everybody who has or had a grant here, by name."""
    doors.require(viewer, Verb.READ_PEOPLE)
    named = Grant.objects.filter(organisation_id=viewer.organisation).values("person_id")
    found = User.objects.filter(id__in=named).order_by("name", "id")
    return tuple(people.PersonName(each.id, each.name) for each in found)


def get_held(viewer: Viewer, person: UUID) -> Held:
    """Return what this organisation holds of a person; raises NotFound for one unknown here."""
    doors.require(viewer, Verb.CHANGE_PEOPLE)
    if person not in {each.id for each in list_known(viewer)}:
        raise errors.NotFound
    # Of whoever has been erased, whether the account is anybody's still is not told either.
    own = User.objects.filter(id=person)
    told = own.values(*(ERASED if erasing.is_erased(viewer, person) else OWN)).get()
    tables = {name: rows for name, rows in _tables(viewer, person) if rows}
    return Held(told, {**tables, "yards_entry": list(_entries(viewer, person))})


def table_of(model: type[models.Model]) -> str:
    """Return what a model's table is called."""
    return model._meta.db_table  # noqa: SLF001 - Django's own way to ask


def columns(model: type[models.Model]) -> "list[models.Field[Any, Any]]":
    """Return a table's columns."""
    return list(model._meta.concrete_fields)  # noqa: SLF001 - Django's own way to ask


def pointing(model: type[models.Model]) -> list[str]:
    """Return the columns of a table that name a person."""
    return [
        field.name
        for field in columns(model)
        if isinstance(field, models.ForeignKey) and field.related_model is User
    ]


def _tables(viewer: Viewer, person: UUID) -> Iterator[tuple[str, list[dict[str, Any]]]]:
    owned = [each for each in apps.get_models() if issubclass(each, Owned)]
    for model in sorted(owned, key=table_of):
        if names := pointing(model):
            theirs = Q()
            for name in names:
                theirs |= Q(**{name: person})
            rows = _known(viewer, model).filter(theirs).order_by("pk")
            yield table_of(model), list(rows.values(*_told(viewer, model)))


def _known(viewer: Viewer, model: type[models.Model]) -> "models.QuerySet[Any]":
    """Return a table's rows that the viewer may know of.

    The database hides a restricted horse and what is of it, but not what is only of an alert or a
    question about it: a row counts as known where all that it points at is.
    """
    rows = model._default_manager.filter(  # noqa: SLF001 - Django's own way to ask
        organisation_id=viewer.organisation
    )
    if not viewer.sees_all:
        for field in columns(model):
            to = field.related_model
            if isinstance(to, type) and issubclass(to, Owned) and to is not model:
                known = Q(**{f"{field.name}__in": _known(viewer, to).values("pk")})
                rows = rows.filter(known | Q(**{f"{field.name}__isnull": True}))
    return rows


def _told(viewer: Viewer, model: type[models.Model]) -> list[str]:
    """Return the columns that are told: no digest and no picture, which say nothing to read.

    What is kept as JSON may name any horse, so that only whoever knows of all is told it.
    """
    silent = (models.BinaryField,) if viewer.sees_all else (models.BinaryField, models.JSONField)
    return [
        field.attname
        for field in columns(model)
        if not isinstance(field, silent) and field.name not in {"id", "organisation"}
    ]


def _entries(viewer: Viewer, person: UUID) -> Iterator[dict[str, Any]]:
    for each in ledger.list_of_person(viewer, person):
        yield {
            "ref": each.ref,
            "at": each.at,
            "actor": each.actor,
            "via": each.via,
            "verb": each.verb,
            "target_kind": each.target_kind,
            "target": each.target_ref,
            "says": each.payload,
        }


def as_json(held: Held, at: datetime) -> str:
    """Return it all as one JSON text; instants as ISO 8601 has them."""
    told = {"at": at, "person": held.person, "counts": held.counts, "tables": held.tables}
    return json.dumps(told, default=_plain, ensure_ascii=False, indent=1)


def _plain(value: object) -> str:
    return value.isoformat() if hasattr(value, "isoformat") else str(value)
