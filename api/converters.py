"""An id in a path: a UUID in either case. Anything else is a path that does not exist."""

from uuid import UUID


class RefConverter:
    """Converts a path's id; ``ValueError`` makes the path unknown, as an unknown id is."""

    regex = "[0-9a-fA-F]{8}(?:-[0-9a-fA-F]{4}){3}-[0-9a-fA-F]{12}"

    def to_python(self, value: str) -> UUID:
        """Return the UUID."""
        return UUID(value)

    def to_url(self, value: UUID | str) -> str:
        """Return its text."""
        return str(value)
