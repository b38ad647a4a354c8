"""In how many texts of an organisation somebody's name or address stands, table by table."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any
from uuid import UUID

from django.apps import apps
from django.db import models
from django.db.models import Q

from scoring.queries import personal
from yards.models import Erasure, Horse, Invitation, Owned, Token
from yards.queries.erasing import Known
from yards.rules import erasure as rule
from yards.rules.roles import Viewer

# What an erasure itself puts right, and what is no text that somebody wrote.
_APART: tuple[type[models.Model], ...] = (Erasure, Invitation, Token)
# Whose rows of the person themselves it blanks.
_OWN = {"scoring_assessor", "scoring_boardview", "scoring_absence", "yards_grant"}
_CODES = 24
# How many horses of a table are named; the others are counted.
MOST_NAMED = 12


@dataclass(frozen=True, slots=True)
class Holding:
    """A table whose texts hold the name: how many rows, and on which horses, as far as named."""

    table: str
    rows: int
    horses: tuple[tuple[UUID, str], ...]


def columns_of(model: type[models.Model]) -> list[str]:
    """Return the columns of a table in which people write; closed lists and codes are shorter."""
    return [
        field.attname
        for field in personal.columns(model)
        if isinstance(field, models.TextField)
        or (isinstance(field, models.CharField) and (field.max_length or 0) > _CODES)
    ]


def holding(viewer: Viewer, known: Known) -> tuple[Holding, ...]:
    """Return the tables in which texts hold the name or address of somebody, most rows first.

    What hangs on a horse that is closed to the viewer is not counted.
    """
    found = [each for each in _holding(viewer, known) if each.rows]
    return tuple(sorted(found, key=lambda each: (-each.rows, each.table)))


def _holding(viewer: Viewer, known: Known) -> Iterator[Holding]:
    if not known.looked_for:
        return
    holds = rule.pattern(known.looked_for)
    for model in apps.get_models():
        if not issubclass(model, Owned) or issubclass(model, _APART):
            continue
        named = Q()
        for column in columns_of(model):
            named |= Q(**{f"{column}__iregex": holds})
        if named:
            rows: models.QuerySet[Any] = models.QuerySet(model).filter(
                named, organisation_id=viewer.organisation
            )
            rows = _not_the_hand_itself(model, rows, known)
            yield Holding(personal.table_of(model), rows.count(), _horses(model, rows))


def _not_the_hand_itself(
    model: type[models.Model], rows: "models.QuerySet[Any]", known: Known
) -> "models.QuerySet[Any]":
    """Leave out the rows that are the person's own name and what an erasure blanks of theirs."""
    own = personal.table_of(model) in _OWN
    return rows.exclude(person_id=known.id) if own else rows


def _horses(
    model: type[models.Model], rows: "models.QuerySet[Any]"
) -> tuple[tuple[UUID, str], ...]:
    if not any(field.attname == "horse_id" for field in personal.columns(model)):
        return ()
    keys = rows.values("horse_id")
    found = Horse.objects.filter(id__in=keys).order_by("name_key", "id")[:MOST_NAMED]
    return tuple((each.ref, each.name) for each in found)
