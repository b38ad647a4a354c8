"""What of an entry's payload a reader is told: contacts and free words only where they may be."""

from collections.abc import Mapping
from typing import Any, NamedTuple

CONTACTS = frozenset({"email", "phone"})
NOTES = frozenset(
    {
        *("note", "text", "why", "vet_said", "next_step", "limits", "held_by"),
        *("snooze_reason", "resolve_reason"),
    }
)
# Of these even the reason is a word on the case; of corrections and grants it is a fact.
_CASES = ("alert.", "vet_order.", "question.", "concern.", "horse.restricted", "horse.opened")
_REASON = "reason"


class Told(NamedTuple):
    """A payload as it is told, and whether anything was left out."""

    payload: dict[str, Any]
    withheld: bool


def told(payload: Mapping[str, Any], verb: str, *, contacts: bool, notes: bool) -> Told:
    """Return a payload without what the reader may not read."""
    closed = set() if contacts else set(CONTACTS)
    if not notes:
        closed |= NOTES
        if verb.startswith(_CASES):
            closed.add(_REASON)
    left = {} if contacts and notes else _without(payload, closed, contacts)
    if contacts and notes:
        return Told(dict(payload), withheld=False)
    return Told(left, withheld=left != dict(payload))


def _without(said: Mapping[str, Any], closed: set[str], contacts: bool) -> dict[str, Any]:
    kept: dict[str, Any] = {}
    for name, value in said.items():
        if name in closed and value not in ("", None):
            continue
        if isinstance(value, Mapping):
            kept[name] = _without(value, closed, contacts)
        elif contacts or not (isinstance(value, str) and "@" in value):
            kept[name] = value
    return kept
