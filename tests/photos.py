"""Photos for tests: drawn here, with or without what a phone writes into them."""

import hashlib
import io
from typing import Any

from django.core.files.uploadedfile import SimpleUploadedFile
from django.test.client import BOUNDARY, MULTIPART_CONTENT, encode_multipart
from PIL import ExifTags, Image

TAKEN = "2026-04-12T09:40:00Z"
UPRIGHT, ON_ITS_SIDE = 1, 6
MAKER = "Invented Phones"


def drawn(size: tuple[int, int] = (64, 48)) -> Image.Image:
    """A picture that is dark on its left and light on its right."""
    found = Image.new("RGB", size, (20, 30, 40))
    found.paste((200, 210, 220), (size[0] // 2, 0, *size))
    return found


def exif(orientation: int = UPRIGHT) -> Image.Exif:
    """What a phone writes into a photo: how it was held, its maker, and where it was."""
    told = Image.Exif()
    told[ExifTags.Base.Orientation] = orientation
    told[ExifTags.Base.Make] = MAKER
    place = told.get_ifd(ExifTags.IFD.GPSInfo)
    place[ExifTags.GPS.GPSLatitudeRef] = "N"
    place[ExifTags.GPS.GPSLatitude] = (51.0, 30.0, 0.0)
    return told


def written(
    found: Image.Image, kind: str = "JPEG", orientation: int = UPRIGHT, **how: Any
) -> bytes:
    """A picture as the bytes of a file, with all that a phone says beside it."""
    out = io.BytesIO()
    found.save(out, kind, exif=exif(orientation), **how)
    return out.getvalue()


def jpeg(size: tuple[int, int] = (64, 48)) -> bytes:
    """A small JPEG."""
    return written(drawn(size))


def form(of: str, ref: object, image: bytes | None = None, **changes: Any) -> dict[str, Any]:
    """The fields of a photo as a phone sends them, with the image as bytes."""
    sent = jpeg() if image is None else image
    told = {"of": of, "of_id": str(ref), "side": "left", "taken_at": TAKEN}
    return {**told, "sha256": hashlib.sha256(sent).hexdigest(), "image": sent, **changes}


def multipart(fields: dict[str, Any]) -> tuple[bytes, str]:
    """Fields as a form with files: the body and its content type."""
    sent = {
        name: SimpleUploadedFile("blob", value, "image/jpeg") if isinstance(value, bytes) else value
        for name, value in fields.items()
    }
    return encode_multipart(BOUNDARY, sent), MULTIPART_CONTENT
