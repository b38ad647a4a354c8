"""A horse for named people only: whom it names, and why."""

from dataclasses import dataclass
from uuid import UUID

from yards.rules.fields import Reader
from yards.rules.grant import REASON_MOST


@dataclass(frozen=True, slots=True)
class Restricted:
    """Who may know of a horse from now on, and why."""

    people: tuple[UUID, ...]
    reason: str


@dataclass(frozen=True, slots=True)
class Opened:
    """Why everybody in scope may know of it again."""

    reason: str


def check(raw: object) -> Restricted:
    """Return a restriction, or raise Invalid naming every fault."""
    reader = Reader(raw)
    people = reader.uuids("people")
    reason = reader.text("reason", most=REASON_MOST, required=True)
    reader.finish()
    return Restricted(people, reason)


def check_opening(raw: object) -> Opened:
    """Return why a restriction is lifted; a reason is required."""
    reader = Reader(raw)
    reason = reader.text("reason", most=REASON_MOST, required=True)
    reader.finish()
    return Opened(reason)
