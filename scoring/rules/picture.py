"""A stranger's file read as a picture, and drawn anew: what is kept holds nothing but pixels.

Only three formats are tried, so that no other decoder ever sees what strangers send; the size that
the file claims is judged before anything is decoded. The new picture is upright, at most 1600
pixels long, and has no metadata: neither where it was taken nor by which phone. Pillow is loaded
when the first photo comes, so that ordinary pages are served without it.
"""

import io
import threading
from dataclasses import dataclass
from typing import TYPE_CHECKING

from yards.rules.forms import Unfit

if TYPE_CHECKING:
    from PIL.Image import Image

LONGEST = 1600
# 24 million pixels is what most phones take at most; decoded, three bytes each.
MEGAPIXELS_AT_MOST = 25
# A camera writes one pass over the picture, or some ten that sharpen it. Each costs as much as all
# of the picture, whatever few bytes it takes: a file of 8 MiB can hold passes for an hour.
PASSES_AT_MOST = 100
_PASS = b"\xff\xda"  # start of scan (ITU-T T.81, B.2.3); never within the data of a pass
FORMATS = ("JPEG", "PNG", "WEBP")
QUALITY = 82
_MILLION = 1_000_000
# One at a time in a process: decoded, the largest that is taken holds 100 MiB and more.
_TURN = threading.Lock()


@dataclass(frozen=True, slots=True)
class Picture:
    """A JPEG of ours, and its size in pixels."""

    jpeg: bytes
    width: int
    height: int


def drawn_anew(sent: bytes) -> Picture:
    """Return the picture in a file as a JPEG of ours; raises Unfit naming the remedy."""
    found = _opened(sent)
    width, height = found.size
    if width * height > MEGAPIXELS_AT_MOST * _MILLION:
        raise Unfit("photo_too_many_pixels", megapixels=MEGAPIXELS_AT_MOST)
    if found.format == "JPEG" and sent.count(_PASS) > PASSES_AT_MOST:
        raise Unfit("photo_unreadable")
    try:
        with _TURN:
            return _written(_upright(_reduced(_decoded(found))))
    except (
        Exception
    ) as error:  # whatever a decoder meets in what strangers send is the file's fault
        raise Unfit("photo_unreadable") from error


def _opened(sent: bytes) -> "Image":
    """Read the head of the file: which format it is, how large it says it is."""
    from PIL import Image, JpegImagePlugin, PngImagePlugin, WebPImagePlugin  # noqa: F401

    try:
        return Image.open(io.BytesIO(sent), formats=FORMATS)
    except Image.DecompressionBombError as error:
        raise Unfit("photo_too_many_pixels", megapixels=MEGAPIXELS_AT_MOST) from error
    except Exception as error:
        raise Unfit("not_a_photo") from error


def _decoded(found: "Image") -> "Image":
    # A JPEG can be decoded at a half or a quarter of its size, which takes a part of the time.
    found.draft("RGB", (LONGEST, LONGEST))
    found.load()
    return found


def _reduced(found: "Image") -> "Image":
    """Make it as small as it is kept before anything copies it: a copy of all pixels is dear."""
    from PIL import Image

    found.thumbnail((LONGEST, LONGEST), Image.Resampling.LANCZOS)
    return found


def _upright(found: "Image") -> "Image":
    """Turn the picture as the camera was held; what it says of that may itself be broken."""
    from PIL import ImageOps

    try:
        return ImageOps.exif_transpose(found)
    except Exception:
        return found


def _written(found: "Image") -> Picture:
    """Paste the pixels, and them alone, into a fresh picture and write that."""
    from PIL import Image

    clean = Image.new("RGB", found.size, "white")
    if "A" in found.getbands() or "transparency" in found.info:
        layer = found.convert("RGBA")
        clean.paste(layer, mask=layer.getchannel("A"))
    else:
        clean.paste(found.convert("RGB"))
    out = io.BytesIO()
    clean.save(out, "JPEG", quality=QUALITY, optimize=True)
    return Picture(out.getvalue(), clean.width, clean.height)
