"""The clock by which an organisation's own times are told: that of its first yard."""

from django.db.models import QuerySet

from yards.models import Yard

NONE = "UTC"


def first(places: QuerySet[Yard] | None = None) -> str:
    """Return the zone of the open organisation's first yard by name, or of some yards' first.

    Without any yard it is UTC. One query, which asks for no scope: a zone tells nothing of horses.
    """
    return _in_order(places).values_list("time_zone", flat=True).first() or NONE


def first_yard() -> Yard | None:
    """Return the open organisation's first yard by name, whoever asks; None without any."""
    return _in_order().first()


def _in_order(places: QuerySet[Yard] | None = None) -> QuerySet[Yard]:
    rows = Yard.objects.all() if places is None else places
    return rows.order_by("name_key", "id")
