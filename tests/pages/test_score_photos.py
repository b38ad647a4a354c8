"""Photos that come with the scoring form, as a browser without scripts sends them."""

import html
import re
from collections.abc import Callable
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client

from scoring.models import Assessment, Photo
from scoring.rules import photo
from tests import cast, photos
from tests.pages.test_score import TEASEL, sheet

SignIn = Callable[[str], Client]
MIB = 1024 * 1024


def file(content: bytes) -> SimpleUploadedFile:
    return SimpleUploadedFile("horse.jpg", content, "image/jpeg")


def kept() -> tuple[int, list[str]]:
    """How many scores are kept, and the sides of their photos."""
    sides = Photo.objects.filter(assessment__isnull=False).values_list("side", flat=True)
    return Assessment.objects.count(), sorted(sides)


def fault(page: str, field: str) -> str:
    found = re.search(rf'id="{field}-fault">([^<]*)<', page)
    return html.unescape(found[1]).strip() if found else ""


def test_photos_are_kept_with_the_score_once_and_without_their_place(
    signed_in: SignIn, inside: Any
) -> None:
    client = signed_in("maud")
    sent = sheet()
    for _ in range(2):  # an impatient thumb
        files = {f"photo-{side}": file(photos.jpeg()) for side in ("left", "rear")}
        answer = client.post(TEASEL, {**sent, **files})
        assert answer.status_code == 303
    with inside("isolde"):
        assert kept() == (1, ["left", "rear"])
        image = bytes(Photo.objects.filter(side="left").get().image)
        assert image.startswith(b"\xff\xd8")
        assert photos.MAKER.encode() not in image


BAD = {
    "not a picture": (b"no picture", "not a photo"),
    "broken off": (photos.jpeg((900, 900))[:-2000], "damaged"),
    "empty": (b"", "empty"),
    "too large": (b"x" * (photo.MIB_AT_MOST * MIB + 1), "at most 8 MiB"),
}


@pytest.mark.parametrize(("content", "said"), BAD.values(), ids=BAD)
def test_a_photo_that_cannot_be_read_is_named_and_holds_up_nothing(
    signed_in: SignIn, inside: Any, content: bytes, said: str
) -> None:
    client = signed_in("maud")
    sent = sheet(held_by="Jonty Farr")
    files = {"photo-left": file(photos.jpeg()), "photo-right": file(content)}
    answer = client.post(TEASEL, {**sent, **files})
    page = answer.content.decode()
    assert answer.status_code == 200
    assert said in fault(page, "photo-right")
    assert not fault(page, "photo-left")
    assert 'href="#photo-right"' in page
    assert "The score is saved, but not every photo." in page
    assert f"/assessments/{sent['id']}/" in page
    assert "Jonty Farr" in page
    with inside("isolde"):
        assert kept() == (1, ["left"])
    # Put right and sent again, it is the same score with the photo beside it.
    again = client.post(TEASEL, {**sent, "photo-right": file(photos.jpeg())})
    assert again.headers["Location"] == f"/assessments/{sent['id']}/"
    with inside("isolde"):
        assert kept() == (1, ["left", "right"])


def test_a_score_that_is_refused_keeps_no_photo(signed_in: SignIn, inside: Any) -> None:
    sent = sheet(**{"regions.back_and_ribs": "5.5", "photo-left": file(photos.jpeg())})
    assert signed_in("maud").post(TEASEL, sent).status_code == 422
    with inside("isolde"):
        assert kept() == (0, [])


def test_the_form_asks_for_three_sides_and_its_shell_for_no_file(signed_in: SignIn) -> None:
    client = signed_in("maud")
    names = r'<input type="file" name="(photo-\w+)"'
    page = client.get(TEASEL).content.decode()
    assert re.findall(names, page) == ["photo-left", "photo-right", "photo-rear"]
    assert 'enctype="multipart/form-data"' in page
    # There it goes through the phone's queue, or not at all.
    assert not re.findall(names, client.get("/round/score/five/").content.decode())


def test_a_page_that_takes_no_files_takes_no_more_than_before(signed_in: SignIn) -> None:
    sent = {"note": "Dull", "photo-left": file(b"x" * MIB)}
    answer = signed_in("maud").post(f"/horses/{cast.ref('Teasel')}/concern/", sent)
    assert answer.status_code == 413
