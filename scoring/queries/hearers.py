"""Who may hear of alerts, by name: to make one somebody's, to set a policy and try it."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from uuid import UUID

from scoring.queries import own_policies, recipients
from scoring.rules import policy
from yards import isolation
from yards.models import Horse, User, Yard
from yards.queries.people import PersonName
from yards.rules.roles import Role, Viewer

# A preview may be asked for an hour of today that has passed.
_TRIED = timedelta(days=1)


def _names(people: Sequence[UUID]) -> tuple[PersonName, ...]:
    rows = User.objects.filter(id__in=people).order_by("name", "id")
    return tuple(PersonName(row.id, row.name) for row in rows)


def of_horse(viewer: Viewer, horse: Horse, *, now: datetime) -> tuple[PersonName, ...]:
    """Return who may answer alerts of a horse now, by name."""
    reaches = recipients.reaches(viewer, roles=policy.HEARERS, now=now)
    covering = [each for each in reaches if each.covers(horse=horse.id, yard=horse.yard_id)]
    return _names([each.person for each in covering])


@dataclass(frozen=True, slots=True)
class House:
    """Everybody who may hear of alerts, their roles, and where each reaches."""

    reaches: Sequence[recipients.Reach]
    names: Mapping[UUID, str]
    absences: Sequence[own_policies.Away]

    def of_yard(self, yard: Yard, at: datetime) -> tuple[policy.Hearer, ...]:
        """Return who hears of a horse that stands in a yard, and who of them is away then.

        Grants are those of now; named horses do not count.
        """
        away = {each.person for each in self.absences if each.covers(at)}
        return tuple(
            policy.Hearer(each.person, each.role, each.person in away)
            for each in self.reaches
            if each.covers(horse=0, yard=yard.id)
        )

    def role_of(self, person: UUID) -> Role | None:
        """Return the role that somebody acts under, if they may hear at all."""
        return next((each.role for each in self.reaches if each.person == person), None)


def of_house(viewer: Viewer, *, now: datetime) -> House:
    """Return everybody who may hear of alerts now, in five queries."""
    isolation.required(viewer)
    reaches = recipients.reaches(viewer, roles=policy.HEARERS, now=now)
    named = _names([each.person for each in reaches])
    absences = own_policies.absences(viewer, now - _TRIED)
    return House(reaches, {each.id: each.name for each in named}, absences)
