"""What the viewer's organisation chose for itself."""

from dataclasses import dataclass

from yards.access import doors
from yards.models import Organisation
from yards.rules.roles import Verb, Viewer


@dataclass(frozen=True, slots=True)
class OrganisationCard:
    """The organisation as its settings show it."""

    name: str
    overall_rule: str
    second_factor: bool
    version: int


def get_organisation(viewer: Viewer) -> OrganisationCard:
    """Return the viewer's own organisation; raises NotAllowed for who may not change it."""
    doors.require(viewer, Verb.CHANGE_ORGANISATION)
    row = Organisation.objects.get(id=viewer.organisation)
    return OrganisationCard(row.name, row.overall_rule, row.second_factor, row.version)
