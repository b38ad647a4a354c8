"""Who can see what, and why; who looked at what; who looks under break-glass."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from django.db.models import Q, QuerySet

from yards import isolation
from yards.access import doors, sight
from yards.access.grants import in_force_at
from yards.models import Entry, GlassBreak, Grant, Horse, Restriction, User, rows
from yards.queries import paging, people, roster
from yards.queries.ledger import EntryRow, rows_of
from yards.rules import errors, glass
from yards.rules.roles import STRENGTH, Verb, Viewer, may

LOOK = "read"
# Asked with every page of whoever may approve.
_GLASS_NOW = """SELECT count(until_at), count(*) - count(until_at) FROM yards_glassbreak
    WHERE organisation_id = %(organisation)s AND ended_at IS NULL
    AND (until_at > %(now)s OR until_at IS NULL AND asked_at >= %(since)s)"""


@dataclass(frozen=True, slots=True)
class Seer:
    """Somebody who can see a horse: under which grant, or under break-glass, and until when."""

    grant: people.GrantCard | None
    person: people.PersonName
    role: str
    through: str
    until: datetime | None


@dataclass(frozen=True, slots=True)
class Closed:
    """A restriction that stands: why, by whom, since when, and whom it names."""

    reason: str
    made_by: str
    made_at: datetime
    people: tuple[people.PersonName, ...]


@dataclass(frozen=True, slots=True)
class Glass:
    """One break-glass, asked for, in force or over."""

    ref: UUID
    person: people.PersonName
    reason: str
    asked_at: datetime
    approved_by: str
    until_at: datetime | None
    ended_at: datetime | None

    def state(self, now: datetime) -> str:
        """Return asked, lapsed, in_force or over."""
        if self.until_at is None:
            waits = self.ended_at is None and now - self.asked_at <= glass.WAITS
            return "asked" if waits else "lapsed"
        return "over" if self.ended_at is not None or self.until_at <= now else "in_force"


def restriction_of(viewer: Viewer, ref: UUID) -> Closed | None:
    """Return the restriction of a horse in scope; only whoever is named ever gets so far."""
    horse = doors.horse_for_read(viewer, ref)
    found = Restriction.objects.filter(horse=horse, lifted_at__isnull=True)
    row = found.select_related("made_by").first()
    if row is None:
        return None
    named = User.objects.filter(id__in=row.people.values("person_id")).order_by("name", "id")
    return Closed(
        row.reason,
        row.made_by.name,
        row.made_at,
        tuple(people.PersonName(each.id, each.name) for each in named),
    )


def seers_of(viewer: Viewer, ref: UUID, *, now: datetime) -> tuple[Seer, ...]:
    """Return who can see a horse now, and through what; strongest role first, then by name."""
    horse = doors.horse_for_read(viewer, ref)
    doors.require(viewer, Verb.READ_PEOPLE)
    held = in_force(viewer, now).filter(
        Q(all_yards=True) | Q(yards__yard_id=horse.yard_id) | Q(horses__horse_id=horse.id)
    )
    grants = list(held.distinct().select_related("person", "issued_by"))
    strongest = _roles(viewer, {each.person_id for each in grants}, now)
    named = sight.restricted().get(horse.id)
    cards = zip(grants, people.cards_of(grants), strict=True)
    found = [
        Seer(card, card.person, card.role, _through(grant, card, horse), card.until_at)
        for grant, card in cards
        # Under a stronger role the scope of that role counts, and of it alone.
        if strongest[grant.person_id] == grant.role and (named is None or grant.person_id in named)
    ]
    found += [
        Seer(None, each.person, "", "glass", each.until_at)
        for each in list_glass(viewer, now=now)
        if each.state(now) == "in_force"
    ]
    order = {role.value: at for at, role in enumerate(STRENGTH)}
    found.sort(key=lambda each: (order.get(each.role, -1), each.person.name, str(each.person.id)))
    return tuple(found)


def _through(grant: Grant, card: people.GrantCard, horse: Horse) -> str:
    if grant.all_yards:
        return "all_yards"
    return "horse" if horse.ref in card.horses else "yard"


def _roles(viewer: Viewer, persons: set[UUID], now: datetime) -> dict[UUID, str]:
    held: dict[UUID, set[str]] = {}
    grants = in_force(viewer, now).filter(person_id__in=persons)
    for person, role in grants.values_list("person_id", "role"):
        held.setdefault(person, set()).add(role)
    return {
        person: next(role.value for role in STRENGTH if role.value in roles)
        for person, roles in held.items()
    }


def in_force(viewer: Viewer, now: datetime) -> QuerySet[Grant]:
    """Return the organisation's grants that let somebody in now."""
    return people.grants_here(viewer).filter(in_force_at(now), person__is_active=True)


def person_here(viewer: Viewer, person: UUID) -> people.PersonName:
    """Return somebody who has or had a grant here, or raise NotFound or NotAllowed."""
    row = people.grants_here(viewer).filter(person_id=person).select_related("person").first()
    if row is None:
        raise errors.NotFound
    doors.require(viewer, Verb.READ_PEOPLE)
    return people.PersonName(row.person.id, row.person.name)


def grants_of(viewer: Viewer, person: UUID) -> list[roster.Listed]:
    """Return every grant of somebody here, newest first."""
    doors.require(viewer, Verb.READ_PEOPLE)
    held = people.grants_here(viewer).filter(person_id=person).order_by("-id")
    return roster.listed(viewer, list(held.select_related("person", "issued_by")))


def list_looks(
    viewer: Viewer,
    *,
    horse: UUID | None = None,
    person: UUID | None = None,
    cursor: str | None = None,
) -> paging.Page[EntryRow]:
    """Return who looked at a horse, or at what somebody looked, newest first: watched looks only.

    Coordinators' own looks, vets' and assessors' are not entered, and not told here.
    """
    doors.require(viewer, Verb.READ_PEOPLE)
    found = Entry.objects.filter(organisation_id=viewer.organisation, verb=LOOK)
    if horse is not None:
        found = found.filter(target_ref=doors.horse_for_read(viewer, horse).ref)
    if person is not None:
        found = found.filter(actor=f"person:{person}")
    return paging.page_of(
        viewer,
        found,
        lambda found: rows_of(viewer, found),
        name=f"looks {horse} {person}",
        cursor=cursor,
    )


def list_glass(viewer: Viewer, *, now: datetime, most: int = 50) -> Sequence[Glass]:
    """Return the organisation's break-glass, newest first: all of it for whoever may approve."""
    doors.require(viewer, Verb.ASK_TO_BREAK_GLASS)
    found = GlassBreak.objects.filter(organisation_id=viewer.organisation)
    if not may(viewer, Verb.APPROVE_BREAKING_GLASS):
        found = found.filter(person_id=viewer.person)
    joined = found.select_related("person", "approved_by").order_by("-id")[:most]
    return [
        Glass(
            row.ref,
            people.PersonName(row.person.id, row.person.name),
            row.reason,
            row.asked_at,
            row.approved_by.name if row.approved_by is not None else "",
            row.until_at,
            row.ended_at,
        )
        for row in joined
    ]


def glass_now(viewer: Viewer, now: datetime) -> tuple[int, int]:
    """Return how many look under break-glass now, and how many wait for approval; one query."""
    isolation.required(viewer)
    asked = {"organisation": viewer.organisation, "now": now, "since": now - glass.WAITS}
    [[looking, waiting]] = rows.asked(_GLASS_NOW, asked)
    return looking, waiting
