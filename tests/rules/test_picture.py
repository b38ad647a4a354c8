"""Pictures drawn anew: upright, small, nothing but pixels; and files that are none."""

import io
import struct
import subprocess
import sys
import zlib

import pytest
from PIL import ExifTags, Image

from scoring.rules import picture
from tests import photos
from tests.conftest import ROOT
from tests.outside import EXACT, outside
from yards.rules.forms import Unfit

SIZE = (400, 300)


def seen(made: picture.Picture) -> Image.Image:
    found = Image.open(io.BytesIO(made.jpeg))
    assert found.format == "JPEG"
    assert found.size == (made.width, made.height)
    return found.convert("RGB")


def is_dark(found: Image.Image, across: float, down: float) -> bool:
    at = (int(found.width * across), int(found.height * down))
    pixel = found.getpixel(at)
    assert isinstance(pixel, tuple)
    return sum(pixel) < 300


@pytest.mark.parametrize("kind", picture.FORMATS)
def test_each_format_becomes_a_jpeg_of_the_same_picture(kind: str) -> None:
    found = seen(picture.drawn_anew(photos.written(photos.drawn(SIZE), kind)))
    assert found.size == SIZE
    assert is_dark(found, 0.25, 0.5)
    assert not is_dark(found, 0.75, 0.5)


@outside(
    "orientation 6 is a picture to be turned a quarter clockwise before it is shown",
    source="CIPA DC-008 (Exif 2.32), table 6, tag 274",
    status=EXACT,
)
def test_a_picture_is_turned_as_the_camera_was_held() -> None:
    sent = photos.written(photos.drawn(SIZE), orientation=photos.ON_ITS_SIDE)
    found = seen(picture.drawn_anew(sent))
    assert found.size == (300, 400)
    # What was on the left is at the top now.
    assert is_dark(found, 0.5, 0.25)
    assert not is_dark(found, 0.5, 0.75)


@pytest.mark.parametrize("kind", picture.FORMATS)
def test_neither_place_nor_phone_is_kept(kind: str) -> None:
    sent = photos.written(photos.drawn(SIZE), kind)
    with Image.open(io.BytesIO(sent)) as before:
        assert before.getexif().get_ifd(ExifTags.IFD.GPSInfo), "it was there to be dropped"
    made = picture.drawn_anew(sent)
    with Image.open(io.BytesIO(made.jpeg)) as after:
        assert not after.getexif()
        assert set(after.info) <= {"jfif", "jfif_version", "jfif_unit", "jfif_density"}
    assert photos.MAKER.encode() not in made.jpeg
    assert b"Exif" not in made.jpeg


@pytest.mark.parametrize(
    ("size", "kept"),
    [((3200, 2400), (1600, 1200)), ((600, 4000), (240, 1600)), ((1600, 1600), (1600, 1600))],
)
def test_a_large_picture_is_made_as_small_as_is_shown(
    size: tuple[int, int], kept: tuple[int, int]
) -> None:
    made = picture.drawn_anew(photos.jpeg(size))
    assert (made.width, made.height) == kept


def test_what_is_clear_is_white() -> None:
    clear = Image.new("RGBA", (40, 30), (0, 0, 0, 0))
    found = seen(picture.drawn_anew(photos.written(clear, "PNG")))
    assert not is_dark(found, 0.5, 0.5)
    palette = photos.drawn((40, 30)).convert("P", palette=Image.Palette.ADAPTIVE, colors=4)
    assert seen(picture.drawn_anew(photos.written(palette, "PNG"))).size == (40, 30)


def test_broken_words_beside_a_picture_do_not_lose_it() -> None:
    out = io.BytesIO()
    photos.drawn(SIZE).save(out, "JPEG", exif=b"Exif\x00\x00II*\x00\xff\xff\xff\xff")
    assert seen(picture.drawn_anew(out.getvalue())).size == SIZE


def bomb(width: int, height: int) -> bytes:
    """A PNG of a few bytes that claims so many pixels (ISO/IEC 15948, 11.2.2)."""

    def chunk(kind: bytes, body: bytes) -> bytes:
        length, check = len(body), zlib.crc32(kind + body)
        return struct.pack(">I", length) + kind + body + struct.pack(">I", check)

    head = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    data = zlib.compress(b"\x00" * 1000)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", data) + chunk(b"IEND", b"")


@outside(
    "a picture of more pixels than the most allowed is refused, against a flood of pixels",
    source="OWASP ASVS 5.0.0, 5.2.6",
    status=EXACT,
)
@pytest.mark.parametrize("side", [5001, 20_000, 60_000])
def test_a_picture_of_too_many_pixels_is_refused_before_it_is_decoded(side: int) -> None:
    sent = bomb(side, side)
    assert len(sent) < 200
    with pytest.raises(Unfit) as refused:
        picture.drawn_anew(sent)
    assert refused.value.key == "photo_too_many_pixels"
    assert refused.value.params == {"megapixels": 25}


def test_a_picture_of_just_so_many_pixels_is_taken() -> None:
    made = picture.drawn_anew(photos.jpeg((5000, 5000)))
    assert (made.width, made.height) == (1600, 1600)


def of_passes(more: int) -> bytes:
    """A JPEG whose last pass over the picture is there so many times more."""
    out = io.BytesIO()
    photos.drawn(SIZE).save(out, "JPEG", progressive=True)
    whole = out.getvalue()
    last = whole[whole.rindex(b"\xff\xda") : -2]
    return whole[:-2] + last * more + whole[-2:]


def test_a_picture_of_endless_passes_is_refused_before_it_is_decoded() -> None:
    assert seen(picture.drawn_anew(of_passes(0))).size == SIZE
    assert seen(picture.drawn_anew(of_passes(50))).size == SIZE
    with pytest.raises(Unfit) as refused:
        picture.drawn_anew(of_passes(picture.PASSES_AT_MOST))
    assert refused.value.key == "photo_unreadable"


def test_what_is_kept_is_small_whatever_it_shows() -> None:
    """Nothing is harder to write small than noise; a photo of a coat takes a third of it."""
    noise = Image.merge("RGB", [Image.effect_noise((1600, 1600), 200) for _ in range(3)])
    made = picture.drawn_anew(photos.written(noise, "JPEG", quality=95))
    assert 1024 * 1024 < len(made.jpeg) < 2 * 1024 * 1024


# Three of the largest at once, and the most memory that it took, in MiB.
AT_ONCE = """
import io, re, threading
from PIL import Image
from scoring.rules import picture
out = io.BytesIO()
Image.new("RGBA", (5000, 5000)).save(out, "PNG")
del Image
threads = [threading.Thread(target=picture.drawn_anew, args=[out.getvalue()]) for _ in range(3)]
for each in threads: each.start()
for each in threads: each.join()
# Of this program alone: what getrusage says counts what started it too (proc(5), VmHWM).
print(int(re.search(r"VmHWM:\\s+([0-9]+)", open("/proc/self/status").read())[1]) // 1024)
"""


def test_large_pictures_wait_for_each_other_and_not_for_memory() -> None:
    ran = subprocess.run(
        [sys.executable, "-c", AT_ONCE], cwd=ROOT, capture_output=True, text=True, check=True
    )
    assert int(ran.stdout) < 350


GIF, BMP, TIFF = (photos.written(photos.drawn(), kind) for kind in ("GIF", "BMP", "TIFF"))
SVG = b'<svg xmlns="http://www.w3.org/2000/svg"><script>alert(1)</script></svg>'


@pytest.mark.parametrize("sent", [GIF, BMP, TIFF, SVG, b"%PDF-1.7", b"\xff\xd8\xff", b"\x00" * 99])
def test_a_file_of_another_kind_is_no_photo(sent: bytes) -> None:
    with pytest.raises(Unfit) as refused:
        picture.drawn_anew(sent)
    assert refused.value.key == "not_a_photo"


@pytest.mark.parametrize("kind", picture.FORMATS)
def test_half_a_file_is_not_kept(kind: str) -> None:
    noise = Image.effect_noise(SIZE, 90).convert("RGB")
    sent = photos.written(noise, kind)
    with pytest.raises(Unfit) as refused:
        picture.drawn_anew(sent[: len(sent) // 2])
    assert refused.value.key in {"photo_unreadable", "not_a_photo"}
