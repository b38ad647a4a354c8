"""The walking order of a yard: in which order somebody goes from horse to horse."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from uuid import UUID

from yards.rules.fields import Reader, given


@dataclass(frozen=True, slots=True)
class Walk:
    """A checked order, first to last, and the version that it was made from."""

    version: int
    horses: tuple[UUID, ...]


def check(raw: object) -> Walk:
    """Return an order, or raise Invalid: an unknown field, no version, a horse named twice."""
    reader = Reader(raw)
    version = reader.integer("version", low=1, high=2**31 - 1, required=True)
    horses = reader.ordered("horses")
    if not reader.has("horses"):
        reader.refuse("horses", "required")
    reader.finish()
    return Walk(given(version), horses)


def placed(order: Sequence[UUID], places: Mapping[UUID, int]) -> tuple[UUID, ...]:
    """Return the order with horses put where ``places``, from 1, wants them; the rest close up.

    One that was moved stands just where it was sent: coming from behind, before the horse that
    stood there, and coming from the front, after it.
    """

    def key(ref: UUID) -> tuple[int, int, int]:
        stood = order.index(ref) + 1
        wanted = places.get(ref, stood)
        return wanted, (wanted > stood) - (wanted < stood), stood

    return tuple(sorted(order, key=key))


def stepped(order: Sequence[UUID], ref: UUID, by: int) -> tuple[UUID, ...]:
    """Return the order with one horse so many places further on; before the first is the first."""
    if ref not in order:
        return tuple(order)
    rest = [each for each in order if each != ref]
    rest.insert(max(0, order.index(ref) + by), ref)
    return tuple(rest)
