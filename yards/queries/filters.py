"""What a filter of a list may hold, before it reaches the database."""

from yards.rules import errors


def readable(field: str, text: str) -> str:
    """Return the text, or raise Malformed at its field: PostgreSQL holds no NUL character."""
    if "\x00" in text:
        raise errors.Malformed(errors.FieldError(field, "unreadable_text"))
    return text
