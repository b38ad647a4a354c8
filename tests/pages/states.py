"""Organisations in states that nobody plans for: without a yard, without a horse, with names that
are long, or written from right to left and mixed with figures. All invented.
"""

from collections.abc import Iterator, Mapping
from html.parser import HTMLParser
from typing import Any
from uuid import uuid5

from django.test import Client
from django.urls import reverse

from scoring.actions import standing
from tests import cast, factories, signing
from tests.doors import pages
from tests.doors.row import Row
from tests.doors.scene import local, sheet
from yards import isolation
from yards.models import Organisation, User
from yards.rules.roles import Role, Viewer

# A role, and the caller of the matrix who holds it over every yard.
ROLES: Mapping[str, str] = {
    "coordinator": "isolde",
    "assessor": "tobias",
    "vet": "keziah",
    "auditor": "hollis",
}
ORGANISATION = "מקלט 5 סוסים"
LONG_YARD = "The Long Meadow behind the Old Mill beside the River at Ewe."
LONG_HORSE = "Bartholomewthunderhoofofthegreatnorthernmoorandallitsmarshes"
YARDS = ("חצר צפון 3", LONG_YARD)
# Name, yard, species.
HORSES = (
    ("ברוש 12", YARDS[0], "horse"),
    ("نخلة 7b", YARDS[0], "donkey"),
    (LONG_HORSE, LONG_YARD, "horse"),
    ("Rowan (רימון) 2", LONG_YARD, "horse"),
)
PEOPLE = {"coordinator": "דנה כהן", "assessor": "أمل 3", "vet": "ד״ר נועה 7", "auditor": "Hale"}
VET = {"vet_practice": "קליניקה 24", "vet_phone": "01632 960150"}
# Signing in and out, what is no page of ours, and what a phone keeps for whoever holds it.
APART = frozenset(
    {
        *("account_login", "account_logout", "mfa_authenticate", "health_live", "health_ready"),
        *("scoring:worker", "scoring:manifest", "scoring:facing"),
        *("scoring:score_five", "scoring:score_nine", "scoring:score_donkey"),
        *("scoring:unknown", "scoring:sending", "scoring:away"),
    }
)


def key(organisation: str, role: str) -> Any:
    """The id of who holds a role there."""
    return uuid5(cast.NAMESPACE, f"{role} of {organisation}")


def client(organisation: str, role: str) -> Client:
    """Somebody's session."""
    return signing.as_person(User.objects.get(id=key(organisation, role)))


def _made(factory: Any, **facts: Any) -> Any:
    return factory(**facts)


def make(organisation: str, yards: tuple[str, ...] = (), horses: Any = ()) -> None:
    """Make an organisation with one person of each role, let into every yard."""
    ref = cast.ref(organisation)
    viewer = Viewer(organisation=ref, role=Role.SYSTEM, via="command")
    with isolation.of(viewer):
        Organisation.objects.create(
            id=ref, name=organisation, name_key=organisation.casefold(), created_at=cast.BEGAN
        )
        for role, name in PEOPLE.items():
            person = User.objects.create_user(
                id=key(organisation, role),
                email=f"{key(organisation, role)}@example.org",
                name=name,
                password=cast.PASSWORD,
                created_at=cast.BEGAN,
            )
            _made(
                factories.GrantFactory,
                organisation_id=ref,
                person=person,
                role=role,
                all_yards=True,
            )
        made = {
            name: _made(
                factories.YardFactory, organisation_id=ref, ref=cast.ref(name), name=name, **VET
            )
            for name in yards
        }
        for name, yard, species in horses:
            horse = _made(
                factories.HorseFactory,
                organisation_id=ref,
                ref=cast.ref(name),
                name=name,
                yard=made[yard],
                species=species,
            )
            standing.make(viewer, horse, cast.BEGAN)


def touch() -> dict[str, str]:
    """Score, weigh and worry about the long and the right-to-left ones; return the ids made."""
    said = client(ORGANISATION, "assessor")
    ids = {"Teasel": str(cast.ref(HORSES[0][0])), "Top Barn": str(cast.ref(YARDS[0]))}
    path = f"/horses/{ids['Teasel']}"
    scored = {**sheet(), "danger_signs": "very_dull", "held_by": "יעל 2"}
    answer = said.post(f"{path}/score/", scored)
    assert answer.status_code == 303, answer.content.decode()
    ids["assessment"] = answer["Location"].split("/")[2]
    # The only reading of this one was taken by eye.
    seen = {**sheet(), "manner": "visual"}
    answer = said.post(f"/horses/{cast.ref(HORSES[3][0])}/score/", seen)
    assert answer.status_code == 303, answer.content.decode()
    weight = {"method": "estimate", "weight_kg": "452", "taken_at": local(hours=2)}
    assert said.post(f"{path}/weigh/", weight).status_code == 303
    return ids


def pages_of(ids: Mapping[str, str]) -> Iterator[tuple[Row, str]]:
    """Every page that the matrix knows and these ids lead to, with the ids of its address."""
    for row in pages.PAGES:
        if row.method != "GET" or row.name in APART:
            continue
        if all(name in ids for name in row.ids.values()):
            kwargs = {name: ids[each] for name, each in row.ids.items()}
            yield row, reverse(row.name, kwargs=kwargs or None)


def expected(row: Row, role: str) -> int:
    """The status that the matrix has for a role."""
    return row.expected[ROLES[role]]


_VOID = frozenset({"meta", "link", "input", "img", "br", "hr", "wbr", "source", "col", "area"})
_SILENT = frozenset({"script", "style", "title", "desc", "textarea"})


class Reading(HTMLParser):
    """What of a page's main part leads on, and which texts stand where they may turn others."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.open: list[tuple[str, bool, bool]] = []
        self.links: set[str] = set()
        self.own: set[str] = set()
        self.forms = 0
        self.bare: list[str] = []
        self.feed(page)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        told = dict(attrs)
        href = told.get("href") or ""
        inside = any(name == "main" for name, _, _ in self.open)
        if tag == "a" and href:
            self.links.add(href)
            if inside:
                self.own.add(href)
        self.forms += inside and tag == "form"
        if tag not in _VOID:
            apart = tag == "bdi" or told.get("dir") == "auto"
            self.open.append((tag, apart, tag in _SILENT))

    def handle_endtag(self, tag: str) -> None:
        names = [name for name, _, _ in self.open]
        if tag in names:
            while self.open.pop()[0] != tag:
                pass

    def handle_data(self, data: str) -> None:
        if not any(apart or silent for _, apart, silent in self.open):
            self.bare.append(data)
