"""Photos over REST: as a phone sends them, as a page shows them, to whom."""

import hashlib
from typing import Any

import pytest
from django.conf import settings
from django.test import Client

from scoring.rules import photo as rule
from tests import cast, photos
from tests.api.asking import Answer, Asker
from tests.doors import counting
from tests.doors.scene import ago, assessment
from yards.models import User

TEASEL = str(cast.ref("Teasel"))
ID = "0193b0de-0000-7000-8000-00000000000a"


def kept(by: str = "maud", **changes: Any) -> Answer:
    return Asker(by).post("photos/", photos.form("horse", TEASEL, **changes))


def test_a_photo_is_kept_with_its_reading_and_read_back(database: str) -> None:
    maud = Asker("maud")
    scored = maud.post("assessments/", assessment(TEASEL)).json()
    sent = photos.form("assessment", scored["id"], id=ID, side="rear", sent_at=ago(seconds=1))
    made = maud.post("photos/", sent)
    assert made.status_code == 201
    said = made.json()
    for name in ("id", "of", "of_id", "side", "taken_at", "sha256"):
        assert said[name] == sent[name]
    assert (said["horse"], said["width"], said["height"]) == (TEASEL, 64, 48)
    assert said["recorded_by"] == {"person": str(cast.ref("maud"))}
    assert maud.get(f"photos/{ID}/").json() == said


def test_a_photo_of_a_concern(database: str) -> None:
    maud = Asker("maud")
    seen = maud.post(f"horses/{TEASEL}/concerns/", {"seen_at": ago(hours=1), "note": "Dull"})
    made = maud.post("photos/", photos.form("concern", seen.json()["id"]))
    assert made.status_code == 201
    assert made.json()["of_id"] == seen.json()["id"]


def test_a_reply_that_was_lost_is_asked_for_again(database: str) -> None:
    first, again = kept(id=ID), kept(id=ID, sent_at=ago(hours=1))
    assert (first.status_code, again.status_code) == (201, 200)
    assert first.json() == again.json()
    other = Asker("maud").post("photos/", photos.form("horse", TEASEL, photos.jpeg((9, 9)), id=ID))
    assert other.status_code == 409
    assert other.json()["errors"][0]["field"] == "id"


def image_of(ref: str, by: str | None) -> Answer:
    return Asker(by).get(f"photos/{ref}/image/")


def test_the_image_is_served_as_what_it_is_and_kept_by_no_cache(database: str) -> None:
    ref = kept().json()["id"]
    found = image_of(ref, "hollis")
    assert found.status_code == 200
    assert found["Content-Type"] == "image/jpeg"
    assert found["X-Content-Type-Options"] == "nosniff"
    assert found["Cache-Control"] == "private, no-store"
    assert found["Cross-Origin-Resource-Policy"] == "same-origin"
    assert "default-src 'none'" in found["Content-Security-Policy"]
    assert found["Content-Disposition"] == f'inline; filename="{ref}.jpg"'
    assert found.content.startswith(b"\xff\xd8\xff")
    assert photos.MAKER.encode() not in found.content


def test_who_may_see_it_is_asked_each_time(database: str) -> None:
    ref = kept("tobias").json()["id"]
    callers = ("maud", "perran", "device", None)
    assert [image_of(ref, by).status_code for by in callers] == [200, 404, 404, 401]
    moved = Asker("isolde").post(
        f"horses/{TEASEL}/move/", {"yard": str(cast.ref("Nether Paddocks"))}
    )
    assert moved.status_code == 200
    assert [image_of(ref, by).status_code for by in callers] == [404, 404, 404, 401]


@pytest.mark.parametrize(
    ("changes", "field", "remedy"),
    [
        ({"image": b""}, "image", "Take it again"),
        ({"image": b"GIF89a"}, "image", "JPEG, PNG or WebP"),
        ({"image": photos.jpeg((800, 600))[:1200]}, "image", "Take it again"),
        ({"image": photos.jpeg((6000, 5000))}, "image", "make it smaller first"),
        ({"sha256": "a" * 64}, "sha256", "Send it again"),
        ({"of_id": str(cast.ref("Marram"))}, "of_id", "Choose one that you can see"),
        ({"of_id": str(cast.ref("Gorse"))}, "of_id", "Choose one that you can see"),
        ({"side": "top"}, "side", "left | right | rear | mark"),
        ({"taken_at": "2100-01-01T00:00:00Z"}, "taken_at", "clock of the device"),
        ({"album": "x"}, "album", "Leave it out"),
    ],
)
def test_each_refusal_names_the_field_and_the_remedy(
    database: str, changes: dict[str, Any], field: str, remedy: str
) -> None:
    before = counting.rows()
    image = changes.pop("image", None)
    refused = Asker("maud").post("photos/", photos.form("horse", TEASEL, image, **changes))
    assert refused.status_code == 422
    [fault] = refused.json()["errors"]
    assert fault["field"] == field
    assert remedy in fault["message"]
    assert counting.rows() == before


def test_a_file_over_the_limit_is_named_and_a_body_over_its_limit_is_not_read(
    database: str,
) -> None:
    long = b"\xff\xd8\xff" + b"\x00" * (rule.MIB_AT_MOST * 1024 * 1024)
    refused = Asker("maud").post("photos/", photos.form("horse", TEASEL, long))
    assert refused.status_code == 422
    assert refused.json()["errors"][0]["message"].startswith("Send a photo of at most 8 MiB")
    longer = long + b"\x00" * settings.API_MAX_PHOTO_BODY
    assert Asker("maud").post("photos/", photos.form("horse", TEASEL, longer)).status_code == 413


def test_a_form_that_is_none_is_refused(database: str) -> None:
    maud = Asker("maud")
    assert maud.send("POST", "photos/", raw=b"{}").status_code == 415
    assert maud.send("POST", "photos/", raw=b"x", content_type="image/jpeg").status_code == 415
    bare = "multipart/form-data"
    assert maud.send("POST", "photos/", raw=b"x", content_type=bare).status_code == 400
    raw, kind = photos.multipart(photos.form("horse", TEASEL))
    half = maud.send("POST", "photos/", raw=raw[: len(raw) // 2], content_type=kind)
    assert half.status_code == 422
    twice = raw.replace(b'name="side"', b'name="of"', 1)
    refused = maud.send("POST", "photos/", raw=twice, content_type=kind)
    assert {"field": "of", "message": "This name is given twice in one object. Give it once."} in (
        refused.json()["errors"]
    )


def test_a_session_sends_a_photo_with_its_token_in_the_header(database: str) -> None:
    """Never looked for in the body, which would be read before its length is asked."""
    client = Client(enforce_csrf_checks=True)
    client.force_login(User.objects.get(id=cast.ref("maud")))
    client.get("/yards/")
    token = client.cookies["csrftoken"].value
    fields = photos.form("horse", TEASEL)
    raw, kind = photos.multipart({**fields, "csrfmiddlewaretoken": token})
    refused = client.generic("POST", "/api/v1/photos/", raw, content_type=kind)
    assert refused.status_code == 403
    raw, kind = photos.multipart(fields)
    told = {"X-CSRFToken": token}
    sent = client.generic("POST", "/api/v1/photos/", raw, content_type=kind, headers=told)
    assert sent.status_code == 201
    assert sent.json()["sha256"] == hashlib.sha256(fields["image"]).hexdigest()
