"""Whom a message can reach: who holds which grants now, and which horses those cover."""

from collections import defaultdict
from collections.abc import Collection, Mapping
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from yards import isolation
from yards.access import sight
from yards.access.grants import in_force_at
from yards.models import Grant, GrantHorse, GrantYard
from yards.rules.roles import STRENGTH, Role, Viewer

ALERT, SEASON, ESCALATION, REMINDER = "alert", "season", "escalation", "reminder"
QUESTION = "question"
GLASS = "glass"
ENDING = "ending"

# Who has a message of a kind; of alerts the organisation's policy says who.
TOLD = {
    # Those who look after horses day by day.
    REMINDER: frozenset({Role.COORDINATOR, Role.ASSESSOR}),
    QUESTION: frozenset({Role.VET}),
    GLASS: frozenset({Role.COORDINATOR}),
}


@dataclass(frozen=True, slots=True)
class Reach:
    """A person under their strongest role, and where it reaches. ``yards`` None is every yard.

    ``closed`` are horses restricted to others.
    """

    person: UUID
    role: Role
    yards: frozenset[int] | None
    horses: frozenset[int]
    closed: frozenset[int] = frozenset()

    def covers(self, *, horse: int, yard: int) -> bool:
        """Return whether a horse that stands in the yard is in reach."""
        if horse in self.closed:
            return False
        return self.yards is None or yard in self.yards or horse in self.horses


def reaches(viewer: Viewer, *, roles: Collection[Role], now: datetime) -> tuple[Reach, ...]:
    """Return everybody active who holds one of the roles now, in four queries, by person.

    The rule is the one that lets people in (``yards.access.viewers``): the strongest role held, and
    every grant of that role. For actions only: it tells of people whatever the viewer's role.
    """
    isolation.required(viewer)
    held = defaultdict(list)
    grants = Grant.objects.filter(
        in_force_at(now),
        organisation_id=viewer.organisation,
        person__is_active=True,
    )
    for grant in grants.order_by("person_id", "id"):
        held[grant.person_id].append(grant)
    strongest = {person: _strongest(grants) for person, grants in held.items()}
    kept = {person: each for person, each in strongest.items() if each[0].role in set(roles)}
    keys = [grant.id for grants in kept.values() for grant in grants]
    yards, horses = _scopes(keys)
    named = sight.restricted()
    return tuple(
        Reach(
            person=person,
            role=Role(each[0].role),
            yards=None
            if any(grant.all_yards for grant in each)
            else frozenset().union(*(yards[grant.id] for grant in each)),
            horses=frozenset().union(*(horses[grant.id] for grant in each)),
            closed=frozenset(key for key, people in named.items() if person not in people),
        )
        for person, each in kept.items()
    )


def _scopes(keys: list[int]) -> tuple[Mapping[int, set[int]], Mapping[int, set[int]]]:
    """Return the yards and the horses that grants name, by grant."""
    yards, horses = defaultdict(set), defaultdict(set)
    for grant_id, yard in GrantYard.objects.filter(grant__in=keys).values_list(
        "grant_id", "yard_id"
    ):
        yards[grant_id].add(yard)
    for grant_id, horse in GrantHorse.objects.filter(grant__in=keys).values_list(
        "grant_id", "horse_id"
    ):
        horses[grant_id].add(horse)
    return yards, horses


def _strongest(grants: list[Grant]) -> list[Grant]:
    for role in STRENGTH:
        chosen = [grant for grant in grants if grant.role == role]
        if chosen:
            return chosen
    return grants
