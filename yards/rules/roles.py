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
        Verb.CHANGE_RULES,
        Verb.EXCEPT_HORSES,
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
        Verb.READ_CLINICAL,
        Verb.WRITE_CLINICAL,
    },
    Role.ASSESSOR: _RECORD | {Verb.ASK_VET},
    Role.AUDITOR: _READ | {Verb.READ_LEDGER},
    Role.DEVICE: frozenset({Verb.READ_SELF, Verb.RECORD_READINGS, Verb.READ_OWN_READINGS}),
    Role.SYSTEM: _READ | {Verb.DELIVER, Verb.READ_PEOPLE},
}

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
    organisation. A horse is in scope when its yard is, or when it is named in ``horses``.
    """

    organisation: UUID
    role: Role
    person: UUID | None = None
    token: UUID | None = None
    yards: frozenset[int] | None = None
    horses: frozenset[int] = frozenset()
    via: str = "page"
    expires_at: datetime | None = None
    # Their organisation asks for a second factor, and they have none: they only get to set one up.
    needs_second_factor: bool = False

    @property
    def sees_all(self) -> bool:
        """Whether nothing in the organisation is out of scope."""
        return self.yards is None


def may(viewer: Viewer, verb: Verb) -> bool:
    """Return whether the viewer's role holds the verb."""
    return verb in MAY[viewer.role]
