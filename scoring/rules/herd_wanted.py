"""What an address asks of the herd's pages: which horses, over how many months, in which order.

All of it is in the address, so that a link that is kept or sent on shows the same; a value that is
none of ours is not found.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from uuid import UUID

from scoring.rules import herd_months
from yards.rules import address, errors, horse

WORRY, NAME, YARD = "worry", "name", "yard"
SORTS = (WORRY, NAME, YARD)


@dataclass(frozen=True, slots=True)
class Wanted:
    """Which horses are looked at; empty is no bound. ``after``: the horse a page begins beyond."""

    yard: UUID | None = None
    use: str = ""
    months: int = herd_months.YEAR
    sort: str = WORRY
    after: UUID | None = None

    def pairs(self, **other: str) -> tuple[tuple[str, str], ...]:
        """Return names and values of an address, with others in their place; in one order.

        What is usual is left out, and the place of a page too: another choice begins at the top.
        """
        held = {
            "yard": str(self.yard or ""),
            "use": self.use,
            "months": "" if self.months == herd_months.YEAR else str(self.months),
            "sort": "" if self.sort == WORRY else self.sort,
        } | other
        return tuple((name, value) for name, value in held.items() if value)


def read(asked: Mapping[str, str]) -> Wanted:
    """Return what an address asks for; raises NotFound for a value that is none of ours."""
    use, sort = asked.get("use", ""), asked.get("sort", "") or WORRY
    months = {str(each): each for each in herd_months.SPANS} | {"": herd_months.YEAR}
    many = months.get(asked.get("months", ""))
    if (use and use not in horse.USES) or sort not in SORTS or many is None:
        raise errors.NotFound
    return Wanted(
        address.ref(asked.get("yard", "")), use, many, sort, address.ref(asked.get("after", ""))
    )
