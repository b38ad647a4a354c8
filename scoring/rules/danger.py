"""Danger signs: a closed list of what is seen, each of which means 'phone the vet now'."""

from functools import cache

from yards.rules import fixture

# Signs that an animal does not eat as it should, or is dull.
NO_FOOD = frozenset({"not_eating", "very_dull"})


@cache
def signs() -> tuple[str, ...]:
    """Return every danger sign, in the order in which they are asked."""
    return tuple(row["value"] for row in fixture.load("danger_signs")["signs"])
