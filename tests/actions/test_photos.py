"""Photos through their action: each once, tied to what it is of, nothing of it but the picture."""

import hashlib
from collections.abc import Callable
from contextlib import AbstractContextManager
from typing import Any
from uuid import UUID

import pytest
import uuid_utils.compat as uuid_utils

from scoring.actions import assessments, concerns, photos
from scoring.models import Photo
from scoring.queries import photos as queries
from tests import cast, readings
from tests import photos as shots
from tests.actions.record import NOW, entries, racing, refused
from yards.actions import horses, merges
from yards.models import Grant
from yards.rules import errors
from yards.rules.roles import Viewer

Inside = Callable[..., AbstractContextManager[Viewer]]
TEASEL = cast.ref("Teasel")


def scored(inside: Inside, horse: str = "Teasel", by: str = "maud") -> UUID:
    with inside(by) as viewer:
        raw = readings.raw(horse, NOW, "3", "3", "3")
        return assessments.record_assessment(viewer, raw, now=NOW).id


def worried(inside: Inside) -> UUID:
    with inside("maud") as viewer:
        raw = {"seen_at": NOW.isoformat(), "note": "Dull"}
        return concerns.record_concern(viewer, TEASEL, raw, now=NOW).id


def keep(inside: Inside, by: str, raw: dict[str, Any]) -> queries.PhotoCard:
    with inside(by) as viewer:
        return photos.keep_photo(viewer, raw, now=NOW)


def test_a_photo_is_kept_of_each_of_the_three(inside: Inside) -> None:
    subjects = {"assessment": scored(inside), "concern": worried(inside), "horse": TEASEL}
    for of, ref in subjects.items():
        made = keep(inside, "maud", shots.form(of, ref, side="mark"))
        assert (made.of, made.of_id, made.horse, made.side) == (of, ref, TEASEL, "mark")
        with inside("isolde") as viewer:
            assert queries.get_photo(viewer, made.id) == made
            assert queries.get_image(viewer, made.id)[:2] == b"\xff\xd8"


def test_one_entry_says_what_was_kept_and_never_the_bytes(inside: Inside) -> None:
    raw = shots.form("horse", TEASEL)
    made = keep(inside, "maud", raw)
    with inside("isolde"):
        [(verb, actor, at, said)] = entries(made.id)
    assert (verb, actor, at) == ("photo.kept", f"person:{cast.ref('maud')}", NOW)
    assert said == {
        "of": "horse",
        "of_id": str(TEASEL),
        "horse": str(TEASEL),
        "side": "left",
        "taken_at": "2026-04-12T09:40:00.000000+00:00",
        "sha256": raw["sha256"],
    }


def test_what_is_kept_is_not_what_was_sent(inside: Inside) -> None:
    raw = shots.form("horse", TEASEL, shots.jpeg((2000, 1000)))
    made = keep(inside, "maud", raw)
    assert made.sha256 == hashlib.sha256(raw["image"]).hexdigest()
    assert (made.width, made.height) == (1600, 800)
    with inside("maud") as viewer:
        image = queries.get_image(viewer, made.id)
    assert hashlib.sha256(image).hexdigest() != made.sha256
    assert b"Exif" not in image


def test_the_same_photo_again_is_a_replay_and_other_bytes_are_refused(inside: Inside) -> None:
    raw = shots.form("horse", TEASEL, id=str(uuid_utils.uuid7()))
    first, again = keep(inside, "maud", raw), keep(inside, "maud", raw)
    assert not first.replayed
    assert again.replayed
    assert again.receipt == first.receipt
    other = shots.form("horse", TEASEL, shots.jpeg((80, 60)), id=raw["id"])
    clash = (errors.Conflict, [("id", "same_id_other_content")])
    with inside("maud") as viewer:
        assert refused(lambda: photos.keep_photo(viewer, other, now=NOW)) == clash
        turned = {**raw, "side": "rear"}
        assert refused(lambda: photos.keep_photo(viewer, turned, now=NOW)) == clash
    with inside("tobias") as viewer:
        found = refused(lambda: photos.keep_photo(viewer, raw, now=NOW))
        assert found[0] is errors.Conflict, "another's photo is not mine"
    with inside("isolde"):
        assert Photo.objects.count() == 1


def test_sent_many_times_at_once_it_is_kept_once(inside: Inside) -> None:
    raw = shots.form("horse", TEASEL, id=str(uuid_utils.uuid7()))
    made = racing("maud", lambda viewer: photos.keep_photo(viewer, raw, now=NOW))
    assert sorted(each.replayed for each in made) == [False] + [True] * 7
    with inside("isolde"):
        assert Photo.objects.count() == 1
        assert len(entries(UUID(raw["id"]))) == 1


def test_a_replay_is_answered_though_the_horse_has_left_the_scope(inside: Inside) -> None:
    raw = shots.form("horse", TEASEL, id=str(uuid_utils.uuid7()))
    keep(inside, "maud", raw)
    with inside("isolde") as viewer:
        horses.move_horse(viewer, TEASEL, {"yard": str(cast.ref("Nether Paddocks"))}, now=NOW)
    assert keep(inside, "maud", raw).replayed
    with inside("maud") as viewer:
        fresh = shots.form("horse", TEASEL)
        found = refused(lambda: photos.keep_photo(viewer, fresh, now=NOW))
        assert found == (errors.Invalid, [("of_id", "unknown_reference")])
        assert refused(lambda: queries.get_image(viewer, UUID(raw["id"])))[0] is errors.NotFound


def test_what_somebody_recorded_takes_its_photo_though_the_horse_has_left_the_scope(
    inside: Inside,
) -> None:
    """A phone sends photos last, and the horse may have moved by then."""
    subjects = {"assessment": scored(inside), "concern": worried(inside)}
    with inside("isolde") as viewer:
        horses.move_horse(viewer, TEASEL, {"yard": str(cast.ref("Nether Paddocks"))}, now=NOW)
    for of, ref in subjects.items():
        made = keep(inside, "maud", shots.form(of, ref))
        assert (made.of_id, made.horse) == (ref, TEASEL)
    others = scored(inside, by="isolde")
    with inside("maud") as viewer:
        found = refused(
            lambda: photos.keep_photo(viewer, shots.form("assessment", others), now=NOW)
        )
        assert found == (errors.Invalid, [("of_id", "unknown_reference")])


@pytest.mark.parametrize(
    ("image", "key"),
    [
        (b"", "photo_empty"),
        (b"GIF89a", "not_a_photo"),
        (shots.jpeg((600, 400))[:900], "photo_unreadable"),
        (shots.jpeg((5001, 5000)), "photo_too_many_pixels"),
    ],
    ids=["empty", "no photo", "cut off", "too many pixels"],
)
def test_what_is_no_photo_is_refused_at_its_field_and_nothing_is_kept(
    inside: Inside, image: bytes, key: str
) -> None:
    with inside("maud") as viewer:
        raw = shots.form("horse", TEASEL, image)
        found = refused(lambda: photos.keep_photo(viewer, raw, now=NOW))
        assert found == (errors.Invalid, [("image", key)])
    with inside("isolde"):
        assert not Photo.objects.exists()


def test_a_phone_adds_to_its_own_readings_and_sees_its_own_photos_only(inside: Inside) -> None:
    others, own = scored(inside, by="maud"), scored(inside, by="device")
    with inside("device") as viewer:
        raw = shots.form("assessment", others)
        found = refused(lambda: photos.keep_photo(viewer, raw, now=NOW))
        assert found == (errors.Invalid, [("of_id", "unknown_reference")])
    mine = keep(inside, "device", shots.form("assessment", own))
    theirs = keep(inside, "maud", shots.form("assessment", own))
    with inside("device") as viewer:
        assert queries.get_photo(viewer, mine.id).id == mine.id
        assert refused(lambda: queries.get_photo(viewer, theirs.id))[0] is errors.NotFound


def test_an_auditor_keeps_none_and_a_grant_that_ended_shows_none(inside: Inside) -> None:
    with inside("hollis") as viewer:
        raw = shots.form("horse", TEASEL)
        assert refused(lambda: photos.keep_photo(viewer, raw, now=NOW))[0] is errors.NotAllowed
    made = keep(inside, "maud", raw)
    with inside("hollis") as viewer:
        assert queries.get_image(viewer, made.id)
    with inside("isolde"):
        Grant.objects.filter(person_id=cast.ref("hollis")).update(revoked_at=NOW)
    with pytest.raises(errors.NotSignedIn), inside("hollis"):
        pass


def test_photos_go_with_an_unknown_animal_to_the_horse_it_is(inside: Inside) -> None:
    with inside("maud") as viewer:
        stray = {"name": "Bay by the gate", "yard": str(cast.ref("Top Barn")), "species": "horse"}
        unknown = horses.register_horse(viewer, {**stray, "is_unknown": True}, now=NOW).ref
    made = keep(inside, "maud", shots.form("horse", unknown, side="mark"))
    with inside("isolde") as viewer:
        merges.merge_horse(viewer, unknown, {"into": str(TEASEL)}, now=NOW)
        assert [each.id for each in queries.of_horse(viewer, TEASEL)] == [made.id]


def test_whoever_may_know_of_the_horse_sees_them_wherever_the_unknown_stood(
    inside: Inside,
) -> None:
    with inside("isolde") as viewer:
        stray = {"name": "Bay", "yard": str(cast.ref("Nether Paddocks")), "species": "horse"}
        unknown = horses.register_horse(viewer, {**stray, "is_unknown": True}, now=NOW).ref
    made = keep(inside, "isolde", shots.form("horse", unknown, side="mark"))
    with inside("maud") as viewer:
        assert refused(lambda: queries.get_image(viewer, made.id))[0] is errors.NotFound
    with inside("isolde") as viewer:
        merges.merge_horse(viewer, unknown, {"into": str(TEASEL)}, now=NOW)
    with inside("maud") as viewer:
        assert [each.id for each in queries.of_horse(viewer, TEASEL)] == [made.id]
        assert queries.get_image(viewer, made.id)[:2] == b"\xff\xd8"


def test_a_correction_keeps_the_photos_of_what_it_puts_right(inside: Inside) -> None:
    first = scored(inside)
    kept = [keep(inside, "maud", shots.form("assessment", first)).id]
    newest = first
    for score in ("3.5", "4"):
        with inside("maud") as viewer:
            raw = {**readings.raw("Teasel", NOW, score, "3", "3"), "reason": "Misread"}
            newest = assessments.correct_assessment(viewer, newest, raw, now=NOW).id
    kept.append(keep(inside, "maud", shots.form("assessment", newest, side="rear")).id)
    keep(inside, "maud", shots.form("assessment", scored(inside)))
    with inside("keziah") as viewer:
        assert [each.id for each in queries.of_assessment(viewer, newest)] == kept
        assert [each.id for each in queries.of_assessment(viewer, first)] == kept[:1]
    with inside("perran") as viewer:
        found = refused(lambda: queries.of_assessment(viewer, newest))
        assert found[0] is errors.NotFound


def test_photos_of_readings_are_told_by_the_reading(inside: Inside) -> None:
    felt, seen = scored(inside), worried(inside)
    left = keep(inside, "maud", shots.form("assessment", felt))
    rear = keep(inside, "maud", shots.form("assessment", felt, side="rear"))
    dull = keep(inside, "maud", shots.form("concern", seen))
    keep(inside, "maud", shots.form("horse", TEASEL))
    with inside("maud") as viewer:
        found = queries.of_readings(viewer, [felt, seen])
    assert {ref: [each.id for each in held] for ref, held in found.items()} == {
        felt: [left.id, rear.id],
        seen: [dull.id],
    }
