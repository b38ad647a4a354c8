"""JSON as it comes in: numbers keep their literal text, and nothing is guessed.

RFC 8259 leaves open what a reader does with a name given twice, and Python's reader takes NaN,
Infinity and 1e400. We refuse all of these, so that two programs never read one body differently.
"""

import json
from collections.abc import Sequence

from yards.rules import errors
from yards.rules.errors import FieldError
from yards.rules.plain import printable


class Number(str):
    """A JSON number as its literal text, neither rounded nor evaluated."""

    __slots__ = ()


class _Refused(ValueError):
    def __init__(self, fault: FieldError) -> None:
        super().__init__(fault.key)
        self.fault = fault


def decode(body: bytes) -> object:
    """Return what a body of JSON in UTF-8 holds, every number as ``Number``.

    Raises Malformed for anything else: other encodings, broken or too deeply nested JSON, NaN and
    Infinity, a name given twice in one object.
    """
    try:
        return json.loads(
            body.decode("utf-8"),
            parse_int=Number,
            parse_float=Number,
            parse_constant=_no_constant,
            object_pairs_hook=_object,
        )
    except UnicodeDecodeError as error:
        raise errors.Malformed(FieldError("", "not_utf8")) from error
    except json.JSONDecodeError as error:
        where: dict[str, str | int] = {"line": error.lineno, "column": error.colno}
        raise errors.Malformed(FieldError("", "json_unreadable", where)) from error
    except _Refused as error:
        raise errors.Malformed(error.fault) from error
    except RecursionError as error:
        raise errors.Malformed(FieldError("", "nested_too_deep")) from error


def _no_constant(name: str) -> object:
    raise _Refused(FieldError("", "json_constant", {"constant": name}))


def _object(pairs: Sequence[tuple[str, object]]) -> dict[str, object]:
    found = dict(pairs)
    if len(found) != len(pairs):
        names = [name for name, _ in pairs]
        twice = next(name for name in names if names.count(name) > 1)
        raise _Refused(FieldError(printable(twice), "given_twice"))
    return found
