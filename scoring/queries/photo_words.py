"""What is said of photos: why one was refused and what to do, and what each shows."""

from django.utils.translation import gettext_lazy as _

from yards.queries.wording import Words

REFUSED: Words = {
    "not_a_photo": _("This is not a photo that we can read. Send a JPEG, PNG or WebP."),
    "not_a_sha256": _("Give the SHA-256 of the image as 64 hexadecimal digits."),
    "photo_broken_off": _("The photo broke off or changed on its way. Send it again."),
    "photo_empty": _("The photo is empty. Take it again, or leave it out."),
    "photo_not_a_file": _("Send the photo as a file in the field image."),
    "photo_too_large": _("Send a photo of at most {mib} MiB: make it smaller first."),
    "photo_too_many_pixels": _(
        "Send a photo of at most {megapixels} million pixels: make it smaller first."
    ),
    "photo_unreadable": _("The photo is damaged and cannot be read. Take it again."),
}

# What a photo shows; said instead of it where it cannot be seen.
SIDES: Words = {
    "left": _("left side"),
    "right": _("right side"),
    "rear": _("from behind"),
    "mark": _("a mark"),
}


def side(key: str) -> str:
    """Return what a photo shows of the animal."""
    return str(SIDES[key])
