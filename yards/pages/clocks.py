"""Which clock a page of several yards goes by: the first yard's, or UTC, and always named."""

from collections.abc import Sequence

from django.utils.translation import gettext

from yards.queries.yards import YardCard

NONE = "UTC"


def zone_of(places: Sequence[YardCard]) -> str:
    """Return the zone of the first yard, or UTC where there is none."""
    return places[0].time_zone if places else NONE


def named(zone: str) -> str:
    """Say which clock it is."""
    return gettext("Times are those of {zone}.").format(zone=zone)
