"""What a risk rule finds: message keys with parameters, which the edges say in words."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from types import MappingProxyType
from typing import Any, NamedTuple

from yards.rules import plain

URGENT, ACT, WATCH = "urgent", "act", "watch"
SEVERITIES = (WATCH, ACT, URGENT)


def rank(severity: str) -> int:
    """Return how urgent a severity is: 0 watch, 1 act, 2 urgent."""
    return SEVERITIES.index(severity)


class Message(NamedTuple):
    """A message key and its parameters, text and whole numbers only; a pair in rows and ledger."""

    key: str
    params: Mapping[str, str | int] = MappingProxyType({})


@dataclass(frozen=True, slots=True)
class Finding:
    """One rule's finding of one animal: what was found, on what, what to do and what not to do.

    ``evidence`` holds one message a line. ``evidence_at`` is when we came to know it: an alert that
    a person resolved after that is not opened again by the same evidence. ``basis`` names the kind
    of evidence ("score", "weight"), so that a graver finding stands for a lesser one on the same.
    """

    rule: str
    severity: str
    reason: Message
    evidence: tuple[Message, ...]
    advice: Message
    what_not_to_do: Message
    source: str
    evidence_at: datetime | None = None
    basis: str = ""

    def said(self) -> dict[str, Any]:
        """Return what an alert's row keeps: keys with parameters, the source and the basis."""
        return {
            "reason": plain.plain(self.reason),
            "evidence": plain.plain(self.evidence),
            "advice": plain.plain(self.advice),
            "what_not_to_do": plain.plain(self.what_not_to_do),
            "source": self.source,
            "basis": self.basis,
        }
