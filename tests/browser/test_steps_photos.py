"""Photos: made small on the phone, without the place, kept with the draft."""

import base64
import hashlib
import io
from pathlib import Path

import pytest
from PIL import Image
from playwright.sync_api import Page, expect

from tests.browser import scoring, steps
from tests.browser.conftest import PHONE, Open
from tests.outside import EXACT, outside

GPS, ORIENTATION, MAKE = 0x8825, 0x0112, 0x010F
KEPT = """async () => {
  const store = await (await import("/static/scoring/round/store.js")).open();
  const base64 = (bytes) => {
    let text = "";
    for (const byte of new Uint8Array(bytes)) text += String.fromCharCode(byte);
    return btoa(text);
  };
  return (await store.all("photos")).map((each) =>
    ({ id: each.id, side: each.side, sha256: each.sha256, bytes: base64(each.bytes) }));
}"""


@pytest.fixture
def picture(tmp_path: Path) -> Path:
    """A picture as a phone takes it: large, lying on its side, with place and make beside it."""
    made = Image.new("RGB", (3000, 2000), "white")
    made.paste("black", (0, 0, 3000, 200))
    exif = Image.Exif()
    exif[ORIENTATION] = 6
    exif[MAKE] = "Invented"
    exif.get_ifd(GPS).update({1: "N", 2: (51.0, 30.0, 0.0), 3: "W", 4: (0.0, 7.0, 0.0)})
    path = tmp_path / "horse.jpg"
    made.save(path, exif=exif)
    return path


def at_the_photos(page: Page) -> None:
    scoring.begin(page)
    scoring.score_all(page)
    steps.unfold(page, "[data-photos]")
    expect(page.locator("[data-photos]")).to_be_visible()


@outside(
    "a photo keeps no place: there is no Exif in it",
    source="Exif 2.32 (CIPA DC-008), as Pillow reads it",
    status=EXACT,
)
def test_a_photo_is_made_small_upright_and_without_its_place(opened: Open, picture: Path) -> None:
    before = Image.open(picture)
    assert before.getexif().get_ifd(GPS)
    page = opened(PHONE)
    at_the_photos(page)
    page.set_input_files("#photo-left", str(picture))
    expect(page.locator("[data-side=left] canvas")).to_be_visible()
    expect(page.locator("[data-photos] [role=status]")).to_have_text("Left side photographed")
    [kept] = page.evaluate(KEPT)
    content = base64.b64decode(kept["bytes"])
    assert kept["side"] == "left"
    assert kept["sha256"] == hashlib.sha256(content).hexdigest()
    found = Image.open(io.BytesIO(content))
    assert found.format == "JPEG"
    assert not dict(found.getexif())
    assert b"Invented" not in content
    # On its side by 90 degrees: upright it is taller than wide, the dark edge at its right.
    assert found.size == (1067, 1600)
    assert found.convert("L").getpixel((1060, 800)) < 60  # type: ignore[operator]
    assert found.convert("L").getpixel((5, 800)) > 200  # type: ignore[operator]


def test_photos_are_brought_back_replaced_and_taken_out(opened: Open, picture: Path) -> None:
    page = opened(PHONE)
    at_the_photos(page)
    for side in ("left", "rear", "rear"):
        page.set_input_files(f"#photo-{side}", str(picture))
        expect(page.locator(f"[data-side={side}] canvas")).to_have_count(1)
    page.wait_for_timeout(300)
    assert sorted(each["side"] for each in page.evaluate(KEPT)) == ["left", "rear"]
    page.reload()
    steps.ready(page)
    scoring.at(page, "weight")
    expect(page.locator("[data-side=left] canvas")).to_be_visible()
    page.click("[data-side=left] button")
    expect(page.locator("[data-side=left] canvas")).to_have_count(0)
    page.wait_for_timeout(300)
    assert [each["side"] for each in page.evaluate(KEPT)] == ["rear"]


ORPHAN = """async (id) => (await import("/static/scoring/round/store.js"))
  .put("photos", { id, type: "image/jpeg", bytes: new ArrayBuffer(8) })"""
OLD, NEW = "01900000-0000-7000-8000-000000000001", "09900000-0000-7000-8000-000000000001"


def test_photos_go_with_their_draft_and_nobody_s_are_swept(opened: Open, picture: Path) -> None:
    page = opened(PHONE)
    at_the_photos(page)
    page.set_input_files("#photo-left", str(picture))
    expect(page.locator("[data-side=left] canvas")).to_have_count(1)
    page.wait_for_timeout(300)
    [own] = [each["id"] for each in page.evaluate(KEPT)]
    for each in (OLD, NEW):  # of long ago, and such as another tab is just keeping
        page.evaluate(ORPHAN, each)
    page.reload()
    steps.ready(page)
    expect(page.locator("[data-side=left] canvas")).to_have_count(1)
    page.wait_for_timeout(300)
    assert sorted(each["id"] for each in page.evaluate(KEPT)) == [own, NEW]
    before = page.input_value("[name=id]")
    page.click("[data-brought] button")
    page.wait_for_function("id => document.querySelector('[name=id]')?.value !== id", arg=before)
    steps.ready(page)
    assert [each["id"] for each in page.evaluate(KEPT)] == [NEW]


def test_a_file_that_is_no_picture_is_said_to_be_none(opened: Open, tmp_path: Path) -> None:
    page = opened(PHONE)
    at_the_photos(page)
    broken = tmp_path / "broken.jpg"
    broken.write_bytes(b"no picture")
    page.set_input_files("#photo-right", str(broken))
    expect(page.locator("[data-photos] [role=status]")).to_contain_text("no picture")
    assert page.evaluate(KEPT) == []
