"""The database's engine is Django's, but for how many rows one statement brings."""

import random
from collections.abc import Callable
from contextlib import AbstractContextManager
from datetime import UTC, datetime

from django.db import connection

from scoring.models import Assessment
from tests.queries import board_herds
from yards.models import Yard
from yards.rules.roles import Viewer

Inside = Callable[..., AbstractContextManager[Viewer]]
# What a Bind message of PostgreSQL's protocol counts its values in: 16 bits. From memory.
MOST = 65_535
HORSES, EACH = 120, 20


def test_more_rows_than_one_statement_may_bring_are_all_written(inside: Inside) -> None:
    columns = [
        each
        for each in Assessment._meta.concrete_fields
        if not (each.primary_key or each.generated)
    ]
    assert HORSES * EACH * len(columns) > MOST
    with inside("isolde") as viewer:
        now, draw = datetime.now(UTC), random.Random(1)
        horses = board_herds.horses(viewer, list(Yard.objects.all()), HORSES, draw)
        by = board_herds.hands(viewer, "Nettle Ross")
        board_herds.scored(viewer, horses, by, now, draw, each=EACH)
        assert Assessment.objects.filter(horse__in=horses).count() == HORSES * EACH


def test_an_update_of_many_rows_fits_too() -> None:
    """For each column of a row it brings the key and the value, and once more the key."""
    for columns in range(1, 60):
        rows = connection.ops.bulk_batch_size(["pk", "pk", *["a"] * columns], [])
        assert 1 < rows * (2 * columns + 1) <= MOST
