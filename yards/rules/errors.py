"""What can be refused, and how a refusal names its field and its remedy.

A message is a key with parameters; the edges (pages, api, mail) say it in the reader's language.
"""

import dataclasses
from collections.abc import Mapping
from dataclasses import dataclass
from typing import ClassVar


@dataclass(frozen=True, slots=True)
class FieldError:
    """One fault: a dotted path to the field, and the key of a message that says the remedy."""

    field: str
    key: str
    params: Mapping[str, str | int] = dataclasses.field(default_factory=dict)


class Refused(Exception):
    """Something asked of us that we will not do; nothing has been written."""

    status: ClassVar[int] = 400
    key: ClassVar[str] = "refused"

    def __init__(self, *errors: FieldError) -> None:
        super().__init__(", ".join(f"{error.field}: {error.key}" for error in errors) or self.key)
        self.errors = errors


class NotSignedIn(Refused):
    """Nobody we know, or a token that has ended."""

    status = 401
    key = "not_signed_in"


class AccessEnded(NotSignedIn):
    """A person's own grant has ended; ``said`` is the key of what they are told of it."""

    def __init__(self, said: str, params: Mapping[str, str | int]) -> None:
        super().__init__()
        self.said, self.params = said, params


class NotFound(Refused):
    """No such thing, or none that this viewer may know of. The two are never told apart."""

    status = 404
    key = "not_found"


class NotAllowed(Refused):
    """The viewer's role lacks the verb."""

    status = 403
    key = "not_allowed"


class TooLarge(Refused):
    """The body is over the limit."""

    status = 413
    key = "too_large"


class Malformed(Refused):
    """The text cannot be read at all."""

    status = 400
    key = "malformed"


class Invalid(Refused):
    """Well-formed, but impossible."""

    status = 422
    key = "invalid"


class Conflict(Refused):
    """The same id with other content, or a stale version."""

    status = 409
    key = "conflict"
