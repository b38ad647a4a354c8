"""Keeping a view of the board under a name, and taking it away: each person's own."""

from collections.abc import Mapping
from datetime import datetime
from typing import Any
from uuid import UUID

from django.db import IntegrityError, transaction

from scoring.models import BoardView
from scoring.rules import board_wanted
from yards import audit, isolation
from yards.access import doors
from yards.actions import once
from yards.rules import errors
from yards.rules.errors import FieldError
from yards.rules.fields import Reader
from yards.rules.roles import Verb, Viewer

NAME_MOST, MOST = 60, 40


def keep(
    viewer: Viewer, raw: Mapping[str, Any], wanted: board_wanted.Wanted, *, now: datetime
) -> UUID:
    """Keep what is wanted under a ``name``; one of the same name makes way.

    The entry says that a view was kept, not what it looks for: that is the person's own. Raises
    Invalid, and Conflict where another page of theirs kept the name at the same moment.
    """
    isolation.required(viewer)
    doors.require(viewer, Verb.READ_STANDING)
    person, reader = doors.person_of(viewer), Reader(raw)
    name = reader.text("name", most=NAME_MOST, required=True)
    held = BoardView.objects.filter(person_id=person, removed_at__isnull=True)
    if held.exclude(name=name).count() >= MOST:
        reader.refuse("name", "too_many", most=MOST)
    reader.finish()
    held.filter(name=name).update(removed_at=now)
    row = BoardView(
        organisation_id=viewer.organisation,
        ref=once.new_ref(None),
        person_id=person,
        name=name,
        asked=dict(wanted.pairs()),
        created_at=now,
    )
    try:
        with transaction.atomic():
            row.save(force_insert=True)
    except IntegrityError as error:
        raise errors.Conflict(FieldError("name", "stale_version")) from error
    _recorded(viewer, "board_view.kept", row.ref, now)
    return row.ref


def remove(viewer: Viewer, ref: UUID, *, now: datetime) -> None:
    """Take a view of the viewer's own away; raises NotFound for any other."""
    isolation.required(viewer)
    doors.require(viewer, Verb.READ_STANDING)
    mine = BoardView.objects.filter(
        ref=ref, person_id=doors.person_of(viewer), removed_at__isnull=True
    )
    if not mine.update(removed_at=now):
        raise errors.NotFound
    _recorded(viewer, "board_view.removed", ref, now)


def _recorded(viewer: Viewer, verb: str, ref: UUID, now: datetime) -> None:
    audit.record(viewer, verb=verb, target=("board_view", ref), payload={}, at=now)
