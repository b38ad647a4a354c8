"""What an organisation chooses for itself: how three regions are summed up, and who proves what.

``mean`` is the exact mean of the three, ``pelvis_led`` the published rule (the sum is in
``scoring.rules.overall``, with its source). Both are always shown; the choice is which one leads.
``second_factor`` asks coordinators, vets and auditors for one.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from yards.rules.fields import Reader, given

MEAN, PELVIS_LED = "mean", "pelvis_led"
OVERALL_RULES = (MEAN, PELVIS_LED)


@dataclass(frozen=True, slots=True)
class OrganisationChange:
    """A checked change, from the version that the sender saw; it names columns and new values."""

    version: int
    changes: Mapping[str, Any]


def check_change(raw: object) -> OrganisationChange:
    """Return what was chosen, or raise Invalid naming every fault."""
    reader = Reader(raw)
    version = reader.integer("version", low=1, high=2**31 - 1, required=True)
    chosen = reader.choice("overall_rule", OVERALL_RULES, required=True)
    second_factor = reader.flag("second_factor")
    reader.finish()
    asked = {} if second_factor is None else {"second_factor": second_factor}
    return OrganisationChange(given(version), {"overall_rule": chosen, **asked})
