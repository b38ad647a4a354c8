"""Names beside readings: who felt, and who wrote it down."""

from dataclasses import dataclass
from uuid import UUID


@dataclass(frozen=True, slots=True)
class Hand:
    """The assessor of a reading."""

    id: UUID
    name: str


@dataclass(frozen=True, slots=True)
class Receipt:
    """The ledger's receipt for a reading: entry id and leaf hash in lower-case hex."""

    entry: UUID
    leaf: str
