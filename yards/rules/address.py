"""What an address names: a row by its id."""

from uuid import UUID

from yards.rules import errors


def ref(text: str) -> UUID | None:
    """Return an id that an address names, None where it names none; raises NotFound for no id."""
    try:
        return UUID(text) if text else None
    except ValueError as error:
        raise errors.NotFound from error
