"""Photos on pages: small, in words too, each leading to the whole picture."""

from collections.abc import Iterable, Mapping
from uuid import UUID

from django.urls import reverse
from django.utils.translation import gettext

from scoring.queries import photo_words
from scoring.queries.photos import Shot
from yards.pages import words
from yards.pages.tables import Picture

Pictures = tuple[Picture, ...]
Of = Mapping[UUID, Pictures]


def shown(shots: Iterable[Shot], name: str, zone: str) -> Pictures:
    """Return photos of an animal as a page shows them, in their order."""
    return tuple(_picture(each, name, zone) for each in shots)


def by_reading(shots: Mapping[UUID, Iterable[Shot]], name: str, zone: str) -> Of:
    """Return photos by the assessment or concern that they were taken of."""
    return {ref: shown(each, name, zone) for ref, each in shots.items()}


def _address(ref: UUID) -> str:
    # The name of the route, not its module: pages know nothing of the REST surface.
    return reverse("api_photo_image", args=[ref])


def _picture(shot: Shot, name: str, zone: str) -> Picture:
    told = {"side": photo_words.side(shot.side), "at": words.at(shot.at, zone)}
    return Picture(
        _address(shot.id),
        gettext("{name}, {side}, {at}").format(name=name, **told),
        shot.width,
        shot.height,
        gettext("{side}, {at}").format(**told),
    )
