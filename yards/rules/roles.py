"""Who may do what: roles, verbs, and the one table that joins them."""

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum
from uuid import UUID


class Role(StrEnum):
    """A grant's role. ``DEVICE`` belongs to tokens that may only append and read back their own."""

    COORDINATOR = "coordinator"
    VET = "vet"
    ASSESSOR = "assessor"
    AUDITOR = "auditor"
    DEVICE = "device"
    SYSTEM = "system"


class Verb(StrEnum):
    """Everything anybody can ask of the service. A view names exactly one."""

    READ_SELF = "self.read"
    CHANGE_ORGANISATION = "organisation.change"
    READ_YARDS = "yards.read"
    CHANGE_YARDS = "yards.change"
    READ_HORSES = "horses.read"
    CHANGE_HORSES = "horses.change"
    MOVE_HORSES = "horses.move"
    RECORD_EVENTS = "events.record"
    WALK_ROUNDS = "rounds.walk"
    READ_READINGS = "readings.read"
    READ_OWN_READINGS = "readings.read_own"
    RECORD_READINGS = "readings.record"
    CORRECT_READINGS = "readings.correct"
    READ_STANDING = "standing.read"
    CHANGE_INSTRUMENTS = "instruments.change"
    OVERRIDE_BANDS = "bands.override"
    READ_VISIT = "visits.read"
    ASK_VET = "questions.ask"
    ANSWER_QUESTIONS = "questions.answer"
    WITHDRAW_QUESTIONS = "questions.withdraw_any"
    READ_NOTES = "notes.read"
    READ_CONTACTS = "contacts.read"
    READ_CLINICAL = "clinical.read"
    WRITE_CLINICAL = "clinical.write"
    READ_ALERTS = "alerts.read"
    ANSWER_ALERTS = "alerts.answer"
    RESOLVE_PROTECTED = "alerts.resolve_protected"
    READ_RULES = "rules.read"
    CHANGE_RULES = "rules.change"
    EXCEPT_HORSES = "rules.except_horse"
    READ_PEOPLE = "people.read"
    CHANGE_PEOPLE = "people.change"
    RESTRICT_HORSES = "horses.restrict"
    ASK_TO_BREAK_GLASS = "glass.ask"
    APPROVE_BREAKING_GLASS = "glass.approve"
    READ_DESK = "desk.read"
    READ_LEDGER = "ledger.read"
    DELIVER = "notices.deliver"


_READ = frozenset(
    {
        Verb.READ_SELF,
        Verb.READ_YARDS,
        Verb.READ_HORSES,
        Verb.READ_READINGS,
        Verb.READ_OWN_READINGS,
        Verb.READ_STANDING,
        Verb.READ_ALERTS,
        Verb.READ_RULES,
    }
)
_RECORD = _READ | {
    Verb.READ_NOTES,
    Verb.ASK_TO_BREAK_GLASS,
    Verb.RECORD_READINGS,
    Verb.CORRECT_READINGS,
    Verb.RECORD_EVENTS,
    Verb.WALK_ROUNDS,
    Verb.ANSWER_ALERTS,
}

MAY: dict[Role, frozenset[Verb]] = {
    Role.COORDINATOR: _RECORD
    | {
        Verb.CHANGE_ORGANISATION,
        Verb.CHANGE_YARDS,
        Verb.CHANGE_HORSES,
        Verb.MOVE_HORSES,
        Verb.CHANGE_INSTRUMENTS,
        Verb.READ_PEOPLE,
        Verb.CHANGE_PEOPLE,
        Verb.READ_LEDGER,
        Verb.RESOLVE_PROTECTED,
        Verb.READ_VISIT,
        Verb.ASK_VET,
        Verb.WITHDRAW_QUESTIONS,
        Verb.READ_CLINICAL,
        Verb.READ_CONTACTS,
        Verb.READ_DESK,
        Verb.CHANGE_RULES,
        Verb.EXCEPT_HORSES,
        Verb.RESTRICT_HORSES,
        Verb.APPROVE_BREAKING_GLASS,
    },
    # A vet's word on one horse stands before the house's rules, of alerts as of bands.
    Role.VET: _RECORD
    | {
        Verb.OVERRIDE_BANDS,
        Verb.RESOLVE_PROTECTED,
        Verb.EXCEPT_HORSES,
        Verb.READ_LEDGER,
        Verb.READ_VISIT,
        Verb.ANSWER_QUESTIONS,
        Verb.READ_CONTACTS,
        Verb.READ_CLINICAL,
        Verb.WRITE_CLINICAL,
    },
    Role.ASSESSOR: _RECORD | {Verb.ASK_VET},
    # An auditor sees the animals' facts; ``SIGHTS`` are what a grant may add.
    Role.AUDITOR: _READ | {Verb.READ_DESK, Verb.READ_LEDGER, Verb.ASK_TO_BREAK_GLASS},
    Role.DEVICE: frozenset({Verb.READ_SELF, Verb.RECORD_READINGS, Verb.READ_OWN_READINGS}),
    Role.SYSTEM: _READ | {Verb.DELIVER, Verb.READ_PEOPLE, Verb.READ_NOTES},
}

# What an auditor sees only where the grant says so, by the grant's own flag.
SIGHTS: dict[str, Verb] = {
    "sees_contacts": Verb.READ_CONTACTS,
    "sees_clinical": Verb.READ_CLINICAL,
    "sees_notes": Verb.READ_NOTES,
}

# Of a part of the record: what is worked out from all of it, what is open now and the ledger would
# tell of the rest.
_OF_A_PART = frozenset(
    {
        Verb.READ_SELF,
        Verb.READ_DESK,
        Verb.READ_YARDS,
        Verb.READ_HORSES,
        Verb.READ_READINGS,
        Verb.READ_OWN_READINGS,
        *SIGHTS.values(),
    }
)

# Strongest first: a person with several grants in one organisation acts under the strongest.
STRENGTH: tuple[Role, ...] = (
    Role.COORDINATOR,
    Role.VET,
    Role.ASSESSOR,
    Role.AUDITOR,
    Role.DEVICE,
)


# What a session does only when the password was given lately; a token is asked for nothing.
ASKED_AGAIN = frozenset({Verb.CHANGE_PEOPLE, Verb.CHANGE_RULES, Verb.EXCEPT_HORSES})
# Of whom an organisation may ask a second factor: who changes most, and who sees most.
SECOND_FACTOR = frozenset({Role.COORDINATOR, Role.VET, Role.AUDITOR})


@dataclass(frozen=True, slots=True)
class Viewer:
    """One person, device or timer at work in one organisation, as allowed at one moment.

    ``yards`` and ``horses`` hold surrogate keys; ``yards`` None means every yard of the
    organisation. A horse is in scope when its yard is, or when it is named in ``horses``, and when
    it is not in ``hidden``: restricted to named people. ``record_from`` and ``record_until`` bound
    what of the record an auditor may see, ``extra`` is what the grant lets one see besides;
    ``glass`` names the break-glass under which somebody looks.
    """

    organisation: UUID
    role: Role
    person: UUID | None = None
    token: UUID | None = None
    yards: frozenset[int] | None = None
    horses: frozenset[int] = frozenset()
    via: str = "page"
    expires_at: datetime | None = None
    hidden: frozenset[int] = frozenset()
    record_from: datetime | None = None
    record_until: datetime | None = None
    extra: frozenset[Verb] = frozenset()
    glass: UUID | None = None
    # Their organisation asks for a second factor, and they have none: they only get to set one up.
    needs_second_factor: bool = False

    @property
    def sees_all(self) -> bool:
        """Whether nothing in the organisation is out of scope."""
        return self.yards is None and not self.hidden

    @property
    def sees_a_part(self) -> bool:
        """Whether only a part of the record, by time, is open."""
        return self.record_from is not None or self.record_until is not None

    @property
    def is_watched(self) -> bool:
        """Whether each look is entered in the ledger before it is served."""
        return self.role is Role.AUDITOR or self.glass is not None


def may(viewer: Viewer, verb: Verb) -> bool:
    """Return whether the viewer's role holds the verb, or the grant adds it."""
    if viewer.sees_a_part and verb not in _OF_A_PART:
        return False
    return verb in MAY[viewer.role] or verb in viewer.extra
