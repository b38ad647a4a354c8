"""A herd with two years of stays and readings, written into the tables, and what is so of it.

Horses come, move, leave and turn out to be one; some are scored in time, some late, some only seen;
some readings are put right.
"""

import random
from collections.abc import Iterator, Sequence
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from typing import Any

import uuid_utils.compat as uuid_utils

from scoring.models import Assessment, VetOrder
from scoring.rules import band, seen
from scoring.rules import scale as scales
from tests import cast
from tests.queries import board_herds
from yards.models import Horse, Stay, Yard
from yards.rules import identity
from yards.rules.roles import Viewer

NOW = datetime(2026, 11, 26, 10, 30, tzinfo=UTC)
DAY = timedelta(days=1)
_BANDS = {
    "five": (Decimal("2.25"), Decimal("3.00")),
    "nine": (Decimal(4), Decimal(6)),
    "donkey": (Decimal("2.5"), Decimal("3.5")),
}


def herd(viewer: Viewer, many: int, now: datetime, *, seed: int = 1, goes_on: float = 0.97) -> None:
    """Make so many animals in every yard of the viewer's, with their stays and readings.

    ``goes_on`` is the chance that after a reading there is another.
    """
    draw = random.Random(seed)
    yards, [hand] = list(Yard.objects.order_by("id")), board_herds.hands(viewer, f"Hand {seed}")
    made = Horse.objects.bulk_create(
        [_horse(viewer, number, draw, yards, now) for number in range(many)]
    )
    for one, other in zip(made[0::9], made[1::9], strict=False):
        one.status, one.merged_into, one.ended_at = "merged", other, now
        other.status, other.ended_at = "present", None
    Horse.objects.bulk_update(made, ["status", "merged_into", "ended_at"])
    Stay.objects.bulk_create([each for one in made for each in _stays(one, draw, yards, now)])
    rows = [each for one in made for each in _readings(one, hand, draw, now, goes_on)]
    _put_right(Assessment.objects.bulk_create(rows), draw)
    _orders(viewer, made, draw, now)


def _horse(
    viewer: Viewer, number: int, draw: random.Random, yards: Sequence[Yard], now: datetime
) -> Horse:
    name = f"{draw.choice(board_herds.NAMES)} {number // 3}"
    status = draw.choice(("present",) * 8 + ("away", "dead", "rehomed"))
    born = draw.choice((30, 200, 500, 900))
    return Horse(
        organisation_id=viewer.organisation,
        ref=uuid_utils.uuid7(),
        name=name,
        name_key=identity.name_key(name),
        yard=draw.choice(yards),
        species=draw.choice(("horse", "horse", "donkey")),
        use=draw.choice(("leisure", "athlete", "companion")),
        laminitis=draw.choice(("never", "never", "past", "unknown")),
        endocrine="none",
        status=status,
        ended_at=now if status in {"dead", "rehomed"} else None,
        created_at=now - timedelta(days=born, hours=draw.random() * 24),
    )


def _stays(horse: Horse, draw: random.Random, yards: Sequence[Yard], now: datetime) -> list[Stay]:
    """Two stays at the most, the last one in the horse's own yard; closed if it is gone."""
    begins, moved = horse.created_at, None
    if draw.random() < 0.4:
        moved = begins + (now - begins) * draw.random()
    gone = None if horse.status in {"present", "away"} else now - timedelta(days=draw.random() * 9)
    if gone is not None and gone <= (moved or begins):
        gone = (moved or begins) + timedelta(minutes=1)
    made: list[tuple[Yard, datetime, datetime | None]] = []
    if moved is not None:
        made.append((draw.choice(yards), begins, moved))
    made.append((horse.yard, moved or begins, gone))
    return [
        Stay(
            organisation_id=horse.organisation_id,
            ref=uuid_utils.uuid7(),
            horse=horse,
            yard=yard,
            from_at=first,
            until_at=last,
        )
        for yard, first, last in made
    ]


def _readings(
    horse: Horse, hand: Any, draw: random.Random, now: datetime, goes_on: float
) -> Iterator[Assessment]:
    at, every = horse.created_at + timedelta(hours=draw.choice((1, 50, 400))), draw.choice((13, 30))
    while at < now and draw.random() < goes_on:
        yield _reading(horse, hand, draw, at)
        at += timedelta(days=every * draw.choice((0.01, 0.9, 1, 1, 1.1, 2.5)))


def _reading(horse: Horse, hand: Any, draw: random.Random, at: datetime) -> Assessment:
    row = Assessment(
        organisation_id=horse.organisation_id,
        ref=uuid_utils.uuid7(),
        horse=horse,
        yard_id=horse.yard_id,
        assessor=hand,
        recorded_by_id=cast.ref("isolde"),
        taken_at=at,
        received_at=at,
        corrected_at=at,
        content_digest=b"\x00" * 32,
        scale=scales.DONKEY if horse.species == "donkey" else draw.choice(("five", "five", "nine")),
        scale_version=1,
        manner=draw.choice(("palpated",) * 7 + ("visual",)),
        crest=draw.choice((None, None, 2, 7)),
    )
    safe = draw.random() < 0.93
    if row.scale == scales.FIVE:
        row.neck, row.back, row.hind = (draw.choice((1, 3, 4, 5, 6, 7, 8)) for _ in range(3))
        row.fat_pocket = draw.choice(("none", "none", "marked"))
        row.hind = row.hind if safe else None
    else:
        top = 18 if row.scale == scales.NINE else 10
        row.whole = draw.randint(2, top) if safe else None
    row.band_low, row.band_high = _BANDS[row.scale]
    nearest = score_of(row).nearest
    if nearest is not None:
        row.place = band.place(nearest, _band(row))
    return row


def _band(row: Assessment) -> band.Band:
    low, high = Decimal(row.band_low or 0), Decimal(row.band_high or 0)
    return band.Band(row.scale, "vet", low, low, high, "", "vet")


def _put_right(rows: list[Assessment], draw: random.Random) -> None:
    """Correct some readings: another score, at the same time or a little before."""
    made = []
    for old in draw.sample(rows, len(rows) // 12):
        new = _reading(old.horse, old.assessor, draw, old.corrected_at - draw.choice((0, 3)) * DAY)
        new.supersedes, new.reason = old, "Misread"
        made.append(new)
    Assessment.objects.bulk_create(made)


def _orders(viewer: Viewer, horses: Sequence[Horse], draw: random.Random, now: datetime) -> None:
    VetOrder.objects.bulk_create(
        VetOrder(
            organisation_id=viewer.organisation,
            ref=uuid_utils.uuid7(),
            horse=horse,
            score_days=draw.choice((5, 40, None)),
            weight_days=7,
            reason="As found",
            given_by_id=cast.ref("keziah"),
            given_at=now - timedelta(days=draw.choice((20, 200))),
            until_at=now - timedelta(days=draw.choice((-50, 10))),
            content_digest=b"\x00" * 32,
        )
        for horse in [*draw.sample(horses, len(horses) // 4), *horses[2:9]]
    )


def score_of(row: Assessment) -> seen.Score:
    """A reading as the rules see it."""
    at = row.corrected_at
    felt = (row.neck, row.back, row.hind, row.whole)
    return seen.Score(at, at, row.scale, row.manner, *felt, row.fat_pocket, row.crest)
