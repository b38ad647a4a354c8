"""Who may enter, and how: oneself, grants and tokens."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from django.db.models import QuerySet

from yards import isolation
from yards.access import doors
from yards.models import Grant, GrantHorse, GrantYard, Horse, Organisation, Token, User, rows
from yards.queries import paging
from yards.rules import errors
from yards.rules.roles import Verb, Viewer

_NAME = "SELECT name FROM yards_organisation WHERE id = %(organisation)s"


@dataclass(frozen=True, slots=True)
class PersonName:
    """A person by id and name."""

    id: UUID
    name: str


@dataclass(frozen=True, slots=True)
class Me:
    """Who the viewer is, and what they may see. ``yards`` None is every yard."""

    person: PersonName | None
    email: str
    language: str
    organisation: UUID
    organisation_name: str
    overall_rule: str
    role: str
    yards: tuple[UUID, ...] | None
    horses: tuple[UUID, ...]
    expires_at: datetime | None


@dataclass(frozen=True, slots=True)
class GrantCard:
    """One grant. ``yards`` None is every yard."""

    ref: UUID
    person: PersonName
    email: str
    role: str
    yards: tuple[UUID, ...] | None
    horses: tuple[UUID, ...]
    from_at: datetime
    until_at: datetime | None
    reason: str
    issued_by: PersonName | None
    issued_at: datetime
    revoked_at: datetime | None
    registration_number: str
    register: str
    confirmed_at: datetime | None
    record_from: datetime | None
    record_until: datetime | None
    sees_contacts: bool
    sees_clinical: bool
    sees_notes: bool

    def state(self, now: datetime) -> str:
        """Return revoked, ended, not_begun, unconfirmed or in_force."""
        if self.revoked_at is not None:
            return "revoked"
        if self.until_at is not None and self.until_at <= now:
            return "ended"
        if self.role == "vet" and self.confirmed_at is None:
            return "unconfirmed"
        return "not_begun" if self.from_at > now else "in_force"


@dataclass(frozen=True, slots=True)
class TokenCard:
    """One token, without the token: only its digest is kept."""

    ref: UUID
    person: PersonName
    is_device: bool
    label: str
    created_at: datetime
    expires_at: datetime
    revoked_at: datetime | None

    def state(self, now: datetime) -> str:
        """Return revoked, ended or in_force."""
        if self.revoked_at is not None:
            return "revoked"
        return "ended" if self.expires_at <= now else "in_force"


def grants_here(viewer: Viewer) -> QuerySet[Grant]:
    """Return the open organisation's grants.

    The grant table is a door: its policy also lets a person's own grants elsewhere through, so the
    organisation is named here as well.
    """
    isolation.required(viewer)
    return Grant.objects.filter(organisation_id=viewer.organisation)


def name_of(user: User | None) -> PersonName | None:
    """Return a person's name, or None for nobody."""
    return PersonName(user.id, user.name) if user else None


def name_here(viewer: Viewer) -> str:
    """Return the name of the person who acts; nobody's is empty."""
    found = User.objects.filter(id=viewer.person) if viewer.person is not None else None
    return "" if found is None else found.values_list("name", flat=True).first() or ""


def organisation_name(viewer: Viewer) -> str:
    """Return what the open organisation is called; stands on every page."""
    isolation.required(viewer)
    [[name]] = rows.asked(_NAME, {"organisation": viewer.organisation})
    return str(name)


def names_of(persons: Sequence[UUID]) -> dict[UUID, str]:
    """Return the names of people by id."""
    return dict(User.objects.filter(id__in=persons).values_list("id", "name"))


def overall_rule(viewer: Viewer) -> str:
    """Return which overall the viewer's organisation reads first."""
    own = Organisation.objects.filter(id=viewer.organisation)
    return own.values_list("overall_rule", flat=True).get()


def me(viewer: Viewer) -> Me:
    """Return the viewer's own person, organisation, role, scope and expiry."""
    doors.require(viewer, Verb.READ_SELF)
    yards = doors.yards_in_scope(viewer)
    organisation = Organisation.objects.get(id=viewer.organisation)
    user = User.objects.filter(id=viewer.person).first() if viewer.person else None
    named = Horse.objects.filter(id__in=viewer.horses).order_by("name_key", "id")
    scoped = yards.filter(id__in=viewer.yards or ()).order_by("name_key", "id")
    return Me(
        person=name_of(user),
        email=user.email if user else "",
        language=user.language if user else "",
        organisation=organisation.id,
        organisation_name=organisation.name,
        overall_rule=organisation.overall_rule,
        role=viewer.role.value,
        yards=None if viewer.sees_all else tuple(scoped.values_list("ref", flat=True)),
        horses=tuple(named.values_list("ref", flat=True)),
        expires_at=viewer.expires_at,
    )


def cards_of(grants: list[Grant]) -> list[GrantCard]:
    """Return cards of grants; the yards and horses of all come in one query each."""
    keys = [grant.id for grant in grants]
    yards, horses = defaultdict(list), defaultdict(list)
    named_yards = GrantYard.objects.filter(grant__in=keys).order_by("yard__name_key", "id")
    for grant, ref in named_yards.values_list("grant_id", "yard__ref"):
        yards[grant].append(ref)
    named_horses = GrantHorse.objects.filter(grant__in=keys).order_by("horse__name_key", "id")
    for grant, ref in named_horses.values_list("grant_id", "horse__ref"):
        horses[grant].append(ref)
    return [_card(grant, yards[grant.id], horses[grant.id]) for grant in grants]


def _card(grant: Grant, yards: Iterable[UUID], horses: Iterable[UUID]) -> GrantCard:
    return GrantCard(
        ref=grant.ref,
        person=PersonName(grant.person.id, grant.person.name),
        email=grant.person.email,
        role=grant.role,
        yards=None if grant.all_yards else tuple(yards),
        horses=tuple(horses),
        from_at=grant.from_at,
        until_at=grant.until_at,
        reason=grant.reason,
        issued_by=name_of(grant.issued_by),
        issued_at=grant.issued_at,
        revoked_at=grant.revoked_at,
        registration_number=grant.registration_number,
        register=grant.register,
        confirmed_at=grant.confirmed_at,
        record_from=grant.record_from,
        record_until=grant.record_until,
        sees_contacts=grant.sees_contacts,
        sees_clinical=grant.sees_clinical,
        sees_notes=grant.sees_notes,
    )


def list_grants(
    viewer: Viewer, *, cursor: str | None = None, size: int = paging.SIZE
) -> paging.Page[GrantCard]:
    """Return the organisation's grants, past and present, newest first."""
    doors.require(viewer, Verb.READ_PEOPLE)
    rows = grants_here(viewer).select_related("person", "issued_by")
    return paging.page_of(viewer, rows, cards_of, name="grants", cursor=cursor, size=size)


def get_grant(viewer: Viewer, ref: UUID) -> GrantCard:
    """Return one grant, or raise NotFound or NotAllowed."""
    rows = grants_here(viewer).filter(ref=ref).select_related("person", "issued_by")
    grant = rows.first()
    if grant is None:
        raise errors.NotFound
    doors.require(viewer, Verb.READ_PEOPLE)
    return cards_of([grant])[0]


def list_tokens(
    viewer: Viewer, *, cursor: str | None = None, size: int = paging.SIZE
) -> paging.Page[TokenCard]:
    """Return the organisation's tokens, past and present, newest first."""
    doors.require(viewer, Verb.READ_PEOPLE)
    return paging.page_of(
        viewer,
        Token.objects.filter(organisation_id=viewer.organisation).select_related("person"),
        lambda found: [token_card(token) for token in found],
        name="tokens",
        cursor=cursor,
        size=size,
    )


def list_own_tokens(
    viewer: Viewer, *, cursor: str | None = None, size: int = paging.SIZE
) -> paging.Page[TokenCard]:
    """Return the viewer's own tokens, past and present, newest first."""
    doors.require(viewer, Verb.READ_SELF)
    own = Token.objects.filter(organisation_id=viewer.organisation, person=viewer.person)
    return paging.page_of(
        viewer,
        own.select_related("person"),
        lambda found: [token_card(token) for token in found],
        name="own tokens",
        cursor=cursor,
        size=size,
    )


def get_token(viewer: Viewer, ref: UUID) -> TokenCard:
    """Return a token, one's own or for coordinators anybody's, or raise NotFound or NotAllowed."""
    rows = Token.objects.filter(organisation_id=viewer.organisation, ref=ref)
    token = rows.select_related("person").first()
    if token is None:
        raise errors.NotFound
    doors.require(viewer, Verb.READ_SELF if token.person_id == viewer.person else Verb.READ_PEOPLE)
    return token_card(token)


def token_card(token: Token) -> TokenCard:
    """Return a token's row, with its person joined."""
    return TokenCard(
        ref=token.ref,
        person=PersonName(token.person.id, token.person.name),
        is_device=token.is_device,
        label=token.label,
        created_at=token.created_at,
        expires_at=token.expires_at,
        revoked_at=token.revoked_at,
    )
