"""Who may do what, written out: one row a call, one column a caller.

The statuses are the contract's (api.md's roles and order of refusal), not computed from the table
in ``yards.rules.roles`` that they hold to account.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any

from tests.doors.scene import Scene

# Coordinator; assessor of two yards; assessor of all; vet; auditor; phone of the first assessor;
# the other organisation's coordinator; nobody.
CALLERS = ("isolde", "maud", "tobias", "keziah", "hollis", "device", "perran", None)
Body = Callable[[Scene], Any]


@dataclass(frozen=True)
class Row:
    """One call: its statuses in the order of ``CALLERS``; ``ids`` names things of the scene."""

    method: str
    name: str
    statuses: str
    ids: Mapping[str, str] = field(default_factory=dict)
    body: Body | None = None

    @property
    def expected(self) -> dict[str | None, int]:
        """The status for each caller; a phone has no session and knocks on no page (``-``)."""
        found = self.statuses.split()
        assert len(found) == len(CALLERS), f"{self} has not one status a caller"
        each = zip(CALLERS, found, strict=True)
        return {caller: int(status) for caller, status in each if status != "-"}

    def __str__(self) -> str:
        return f"{self.method} {self.name}"


OF_TEASEL = {"id": "Teasel"}
OF_THE_FAT = {"rule": "fat"}
