"""Photos as they come in: whole, of something, from some side."""

from datetime import UTC, datetime, timedelta
from typing import Any
from uuid import uuid4

import pytest

from scoring.rules import photo
from tests import photos
from yards.rules import errors

NOW = datetime(2026, 4, 12, 10, 0, tzinfo=UTC)
REF = uuid4()


def refused(**changes: Any) -> list[tuple[str, str]]:
    raw = {**photos.form("horse", REF), **changes}
    with pytest.raises(errors.Invalid) as refusal:
        photo.check({name: each for name, each in raw.items() if each is not None}, now=NOW)
    return [(each.field, each.key) for each in refusal.value.errors]


def test_a_whole_photo_is_taken_with_the_time_put_right() -> None:
    sent = (NOW - timedelta(days=7)).isoformat()
    taken = (NOW - timedelta(days=7, hours=1)).isoformat()
    found = photo.check(photos.form("concern", REF, taken_at=taken, sent_at=sent), now=NOW)
    assert (found.of, found.of_id, found.side) == ("concern", REF, "left")
    assert found.corrected_at == NOW - timedelta(hours=1)


@pytest.mark.parametrize(
    ("changes", "fault"),
    [
        ({"image": b""}, ("image", "photo_empty")),
        ({"image": None}, ("image", "required")),
        ({"image": "bytes in words"}, ("image", "photo_not_a_file")),
        ({"image": photos.jpeg()[:-9]}, ("sha256", "photo_broken_off")),
        ({"sha256": "0" * 64}, ("sha256", "photo_broken_off")),
        ({"sha256": "x" * 64}, ("sha256", "not_a_sha256")),
        ({"sha256": "abc"}, ("sha256", "not_a_sha256")),
        ({"sha256": None}, ("sha256", "required")),
        ({"side": "belly"}, ("side", "not_a_choice")),
        ({"of": "yard"}, ("of", "not_a_choice")),
        ({"of_id": None}, ("of_id", "required")),
        ({"taken_at": "2026-04-12T10:06:00Z"}, ("taken_at", "in_the_future")),
        ({"caption": "Nice"}, ("caption", "unknown_field")),
    ],
)
def test_each_fault_is_named_at_its_field(changes: dict[str, Any], fault: tuple[str, str]) -> None:
    assert refused(**changes) == [fault]


def test_a_file_of_just_the_limit_is_taken_and_one_byte_more_is_not() -> None:
    most = photo.MIB_AT_MOST * 1024 * 1024
    assert photo.check(photos.form("horse", REF, b"x" * most), now=NOW).image
    over = photos.form("horse", REF, b"x" * (most + 1))
    assert refused(image=over["image"], sha256=over["sha256"]) == [("image", "photo_too_large")]


def test_the_same_photo_is_told_by_its_digest_and_not_by_the_clock() -> None:
    first = photo.check(photos.form("horse", REF, id=str(uuid4())), now=NOW)
    later = NOW + timedelta(days=3)
    again = photo.check(photos.form("horse", REF, sent_at=later.isoformat()), now=later)
    assert first.content() == again.content()
    other = photo.check(photos.form("horse", REF, photos.jpeg((80, 60))), now=NOW)
    assert other.content() != first.content()
