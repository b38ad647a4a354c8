"""What a rule takes: one error for what it cannot, and the closed lists it is held to.

What people send is refused by ``errors.Invalid`` where it comes in; this is for callers that hand a
rule what never could have come in.
"""

from collections.abc import Collection


class OutOfRange(ValueError):
    """A value that cannot be taken: its field, and what would be."""

    def __init__(self, field: str, allowed: str) -> None:
        super().__init__(f"{field}: {allowed}")
        self.field = field
        self.allowed = allowed


def one_of(field: str, value: str, closed: Collection[str]) -> str:
    """Return one of a closed list; raises OutOfRange with the field and the list."""
    if value not in closed:
        raise OutOfRange(field, "one of " + ", ".join(each for each in closed if each))
    return value
