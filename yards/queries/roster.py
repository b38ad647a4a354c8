"""The people of an organisation as coordinators read them: grants in names, not ids."""

import json
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from django.db.models import Q

from yards.access import doors
from yards.access.grants import in_force_at
from yards.models import EntryPayload, Grant, Horse, User
from yards.queries import erasing, paging, people
from yards.rules.roles import MAY, Role, Verb, Viewer


@dataclass(frozen=True, slots=True)
class Listed:
    """A grant with the names of what it is for; ``yards`` None is every yard.

    ``why_revoked`` is empty for a grant that was not revoked, or whose entry has been erased.
    """

    grant: people.GrantCard
    yards: tuple[str, ...] | None
    horses: tuple[str, ...]
    why_revoked: str


def list_people(
    viewer: Viewer,
    *,
    now: datetime,
    over: bool = False,
    cursor: str | None = None,
    size: int = paging.SIZE,
) -> paging.Page[Listed]:
    """Return grants in force, waiting or to come; or, when ``over``, those that have ended.

    Newest first, in a constant number of queries.
    """
    doors.require(viewer, Verb.READ_PEOPLE)
    gone = Q(revoked_at__isnull=False) | Q(until_at__lte=now)
    rows = people.grants_here(viewer).filter(gone if over else _open(now))
    return paging.page_of(
        viewer,
        rows.select_related("person", "issued_by"),
        lambda found: listed(viewer, found),
        name="people over" if over else "people",
        cursor=cursor,
        size=size,
    )


def _open(now: datetime) -> Q:
    return Q(revoked_at__isnull=True) & (Q(until_at__isnull=True) | Q(until_at__gt=now))


def listed(viewer: Viewer, grants: list[Grant]) -> list[Listed]:
    """Return grants in names, in four queries."""
    cards = people.cards_of(grants)
    yards = dict(doors.yards_in_scope(viewer).values_list("ref", "name"))
    named = {ref for card in cards for ref in card.horses}
    horses = dict(Horse.objects.filter(ref__in=named).values_list("ref", "name"))
    reasons = _reasons([card.ref for card in cards if card.revoked_at is not None])
    return [
        Listed(
            card,
            None if card.yards is None else tuple(yards[ref] for ref in card.yards),
            tuple(horses[ref] for ref in card.horses),
            reasons.get(card.ref, ""),
        )
        for card in cards
    ]


def _reasons(refs: list[UUID]) -> dict[UUID, str]:
    """Return why grants were revoked, as the ledger has it."""
    said = EntryPayload.objects.filter(entry__verb="grant.revoked", entry__target_ref__in=refs)
    found = said.values_list("entry__target_ref", "payload")
    return {ref: json.loads(bytes(text))["reason"] for ref, text in found if ref is not None}


def who_records(viewer: Viewer, *, now: datetime) -> tuple[people.PersonName, ...]:
    """Return the people who may record now, by name: those whom a phone may be for."""
    doors.require(viewer, Verb.READ_PEOPLE)
    roles = [role.value for role, verbs in MAY.items() if Verb.RECORD_READINGS in verbs]
    held = people.grants_here(viewer).filter(in_force_at(now), role__in=roles)
    found = User.objects.filter(id__in=held.values("person_id"), is_active=True)
    return tuple(people.PersonName(each.id, each.name) for each in found.order_by("name", "id"))


def who_enters(viewer: Viewer, *, now: datetime) -> tuple[people.PersonName, ...]:
    """Return the people who may enter now, by name."""
    doors.require(viewer, Verb.READ_PEOPLE)
    held = people.grants_here(viewer).filter(in_force_at(now))
    found = User.objects.filter(id__in=held.values("person_id"), is_active=True)
    return tuple(people.PersonName(each.id, each.name) for each in found.order_by("name", "id"))


def who_visits(viewer: Viewer) -> tuple[people.PersonName, ...]:
    """Return the people who have or had a vet's or an auditor's grant here, by name.

    Whoever has been erased is not let in again, and left out.
    """
    doors.require(viewer, Verb.READ_PEOPLE)
    held = people.grants_here(viewer).filter(role__in=[Role.VET, Role.AUDITOR])
    held = held.exclude(person_id__in=erasing.erasures(viewer).values("person_id"))
    found = User.objects.filter(id__in=held.values("person_id"), is_active=True)
    return tuple(people.PersonName(each.id, each.name) for each in found.order_by("name", "id"))


def last_register(viewer: Viewer) -> str:
    """Return the register of the vet who was let in last: most vets here are in the same one.

    Of whoever has been erased it is not known any more.
    """
    doors.require(viewer, Verb.READ_PEOPLE)
    vets = people.grants_here(viewer).filter(role=Role.VET).order_by("-id")
    vets = vets.exclude(person_id__in=erasing.erasures(viewer).values("person_id"))
    return vets.values_list("register", flat=True).first() or ""
