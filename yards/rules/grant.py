"""A grant as it comes in: who may do what, where, and until when."""

from dataclasses import dataclass
from datetime import datetime
from typing import Any
from uuid import UUID

from yards.rules import plain
from yards.rules.fields import Reader, given
from yards.rules.roles import SIGHTS, Role

ROLES = (Role.COORDINATOR.value, Role.ASSESSOR.value, Role.VET.value, Role.AUDITOR.value)
ALL = "all"
REASON_MOST = 300
# What bounds, and what widens, an auditor's sight of the record.
RECORD = ("record_from", "record_until")
SIGHT = frozenset({*RECORD, *SIGHTS})


@dataclass(frozen=True, slots=True)
class GrantFacts:
    """A checked grant. ``from_at`` None is now, ``until_at`` None has no end."""

    id: UUID | None
    person: UUID
    role: str
    all_yards: bool
    yards: tuple[UUID, ...]
    horses: tuple[UUID, ...]
    from_at: datetime | None
    until_at: datetime | None
    reason: str
    registration_number: str
    register: str
    record_from: datetime | None = None
    record_until: datetime | None = None
    sees_contacts: bool = False
    sees_clinical: bool = False
    sees_notes: bool = False

    def content(self) -> dict[str, Any]:
        """Return what a replay must match.

        What a grant says of an auditor's sight is left out where it says nothing, so that a grant
        from before there was such a thing is replayed as it was.
        """
        said = plain.content(self, without=frozenset({"id"}))
        return {name: value for name, value in said.items() if name not in SIGHT or value}


@dataclass(frozen=True, slots=True)
class Revocation:
    """Why a grant ends now."""

    reason: str


def check(raw: object, *, now: datetime | None = None) -> GrantFacts:
    """Return a grant, or raise Invalid naming every fault.

    A coordinator's grant is for all yards; any other names all yards, some, or horses. A vet's
    grant names the registration number and the register that holds it.
    """
    reader = Reader(raw)
    ref, person = reader.uuid("id"), reader.uuid("person", required=True)
    role = reader.choice("role", ROLES, required=True)
    all_yards, yards, horses = _scope(reader, role)
    from_at, until_at = reader.instant("from"), reader.instant("until")
    begins = from_at or now
    if until_at is not None and begins is not None and until_at <= begins:
        reader.refuse("until", "ends_before_it_begins")
    reason = reader.text("reason", most=REASON_MOST)
    number, register = _registration(reader, role)
    sight = _sight(reader, role)
    reader.finish()
    return GrantFacts(
        ref,
        given(person),
        role,
        all_yards,
        yards,
        horses,
        from_at,
        until_at,
        reason,
        number,
        register,
        *sight,
    )


def _scope(reader: Reader, role: str) -> tuple[bool, tuple[UUID, ...], tuple[UUID, ...]]:
    horses = reader.uuids("horses")
    all_yards = reader.raw("yards") == ALL
    yards = () if all_yards else reader.uuids("yards")
    if role == Role.COORDINATOR and not all_yards:
        reader.refuse("yards", "coordinator_has_all_yards")
    elif not (all_yards or yards or horses) and not reader.faults:
        reader.refuse("yards", "grant_names_nothing")
    return all_yards, yards, horses


def _sight(reader: Reader, role: str) -> tuple[datetime | None, datetime | None, bool, bool, bool]:
    first, last = (reader.instant(name) for name in RECORD)
    if first is not None and last is not None and last <= first:
        reader.refuse("record_until", "ends_before_it_begins")
    contacts, clinical, notes = (bool(reader.flag(name, default=False)) for name in SIGHTS)
    named = {
        **{name: value is not None for name, value in zip(RECORD, (first, last), strict=True)},
        **dict(zip(SIGHTS, (contacts, clinical, notes), strict=True)),
    }
    if role and role != Role.AUDITOR:
        for name in (name for name, value in named.items() if value):
            reader.refuse(name, "only_for_auditors")
    return first, last, contacts, clinical, notes


def _registration(reader: Reader, role: str) -> tuple[str, str]:
    is_vet = role == Role.VET
    number = reader.text("registration_number", most=40, required=is_vet)
    register = reader.text("register", most=80, required=is_vet)
    if role and not is_vet and (number or register):
        reader.refuse("registration_number", "only_for_vets")
    return number, register


def check_revocation(raw: object) -> Revocation:
    """Return why a grant is revoked; a reason is required."""
    reader = Reader(raw)
    reason = reader.text("reason", most=REASON_MOST, required=True)
    reader.finish()
    return Revocation(reason)
