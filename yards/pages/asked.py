"""What an address asks for beside its path."""

from django.utils.translation import gettext

from yards.pages import tables
from yards.queries.yards import YardCard


def by_yard(places: tuple[YardCard, ...], yard: str, **others: str) -> dict[str, object]:
    """Return the choice of yards above a list; ``others`` are the list's other choices, kept."""
    choices = [tables.Filter(tables.query(**others), gettext("All yards"), not yard)]
    choices += [
        tables.Filter(tables.query(**others, yard=str(each.ref)), each.name, yard == str(each.ref))
        for each in places
    ]
    return {"label": gettext("Yards"), "choices": choices}
