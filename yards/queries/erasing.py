"""Whom an organisation has erased, and what of its record is about somebody."""

import json
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from typing import Any
from uuid import UUID

from django.db.models import F, Func, Q, QuerySet, TextField, Value
from django.db.models.functions import Lower, StrIndex
from django.db.models.lookups import GreaterThan

from yards.access import doors
from yards.models import (
    Entry,
    EntryPayload,
    Erasure,
    Grant,
    Invitation,
    Token,
    User,
)
from yards.queries import people
from yards.rules import erasure as rule
from yards.rules import errors
from yards.rules.roles import Role, Verb, Viewer

# By the kind of a target: the refs of that kind that are a person's. Scoring's app config adds its.
Refs = Callable[[Viewer, UUID], "QuerySet[Any, UUID]"]
targets_of: dict[str, Refs] = {
    "grant": lambda viewer, person: (
        people.grants_here(viewer).filter(person_id=person).values_list("ref", flat=True)
    ),
    "token": lambda viewer, person: Token.objects.filter(
        organisation_id=viewer.organisation, person_id=person
    ).values_list("ref", flat=True),
    "invitation": lambda viewer, person: invitations_of(viewer, person).values_list(
        "ref", flat=True
    ),
}


@dataclass(frozen=True, slots=True)
class Known:
    """Somebody who has or had a grant here; ``at`` is when they were erased, None where not.

    ``is_vet``: they hold or held a vet's grant.
    """

    id: UUID
    name: str
    email: str
    at: datetime | None
    is_vet: bool

    @property
    def known_as(self) -> tuple[str, ...]:
        """What they are called until now."""
        return tuple(each for each in (self.name, self.email) if each)

    @property
    def looked_for(self) -> tuple[str, ...]:
        """What is looked for in texts: a name of a single word is not."""
        return rule.looked_for(self.name, self.email)


@dataclass(frozen=True, slots=True)
class Erased:
    """One erasure. ``by`` is who did it, as they are called today."""

    person: UUID
    alias: str
    at: datetime
    by: str
    reason: str


def known(viewer: Viewer, person: UUID) -> Known:
    """Return somebody who may be erased, or is; raises NotFound for one unknown here, NotAllowed.

    The one door of the page and of the act.
    """
    roles = set(people.grants_here(viewer).filter(person_id=person).values_list("role", flat=True))
    if not roles:
        raise errors.NotFound
    doors.require(viewer, Verb.CHANGE_PEOPLE)
    user = User.objects.get(id=person)
    gone = erasures(viewer).filter(person_id=person).first()
    return Known(
        user.pk, user.name, user.email, None if gone is None else gone.at, Role.VET in roles
    )


def erasures(viewer: Viewer) -> QuerySet[Erasure]:
    """Return the organisation's erasures; the table is a door, so the organisation is named."""
    return Erasure.objects.filter(organisation_id=viewer.organisation)


def list_erased(viewer: Viewer) -> tuple[Erased, ...]:
    """Return everybody whom the organisation has erased, the last first."""
    doors.require(viewer, Verb.READ_PEOPLE)
    return tuple(
        Erased(each.person_id, each.alias, each.at, each.by.name, each.reason)
        for each in erasures(viewer).select_related("by").order_by("-id")
    )


def is_erased(viewer: Viewer, person: UUID) -> bool:
    """Return whether the organisation has erased somebody."""
    return erasures(viewer).filter(person_id=person).exists()


def invitations_of(viewer: Viewer, person: UUID) -> QuerySet[Invitation]:
    """Return the organisation's invitations of somebody: to their address, or accepted by them."""
    address = User.objects.filter(id=person).first()
    to = Q(email__iexact=address.email) if address is not None and address.email else Q(pk__in=())
    return Invitation.objects.filter(
        to | Q(accepted_by_id=person), organisation_id=viewer.organisation
    )


def entries_of(viewer: Viewer, known: Known) -> list[int]:
    """Return the entries whose payload goes with somebody, by key.

    Those about the person, and those that name them. What only names their id stays: the id is in
    the entry's own bytes too, which nothing may change, and is called by the alias.
    """
    return sorted(entries_about(viewer, known) | entries_naming(viewer, known))


def entries_about(viewer: Viewer, known: Known) -> set[int]:
    """Return the entries about somebody: grants, tokens, invitations, what was done to them.

    To be asked before the erasure: no invitation is found by an address that is gone.
    """
    about = Q(target_kind="person", target_ref=known.id)
    for kind, refs in targets_of.items():
        about |= Q(target_kind=kind, target_ref__in=refs(viewer, known.id))
    here = _payloads(viewer)
    theirs = Entry.objects.filter(about, organisation_id=viewer.organisation)
    return set(here.filter(entry__in=theirs.values("pk")).values_list("entry_id", flat=True))


def entries_naming(viewer: Viewer, known: Known) -> set[int]:
    """Return the entries whose payload says somebody's name or address.

    The database narrows, Python decides.
    """
    text = Func(F("payload"), Value("UTF8"), function="convert_from", output_field=TextField())
    some = Q()
    for each in rule.spellings(known.looked_for):
        written = json.dumps(each, ensure_ascii=False)[1:-1]
        some |= Q(GreaterThan(StrIndex(Lower(text), Lower(Value(written))), 0))
    rows = _payloads(viewer).filter(some) if some else EntryPayload.objects.none()
    return {
        entry
        for entry, payload in rows.values_list("entry_id", "payload")
        if rule.holds(json.loads(bytes(payload)), known.looked_for)
    }


def _payloads(viewer: Viewer) -> QuerySet[EntryPayload]:
    return EntryPayload.objects.filter(organisation_id=viewer.organisation)


def count_grants(viewer: Viewer, person: UUID, now: datetime) -> int:
    """Return how many grants of somebody have not ended yet."""
    return standing_grants(viewer, person, now).count()


def standing_grants(viewer: Viewer, person: UUID, now: datetime) -> QuerySet[Grant]:
    """Return the grants of somebody that have not ended yet, whether or not they have begun."""
    rows = people.grants_here(viewer).filter(person_id=person, revoked_at__isnull=True)
    return rows.filter(Q(until_at__isnull=True) | Q(until_at__gt=now)).order_by("id")
