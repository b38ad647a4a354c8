"""The cast: two invented organisations and their people, in every test database.

Quillet Moor Horse Refuge: Isolde Kerr coordinates; Maud Pell assesses in Top Barn and Sallow Field
only, Tobias Wren in every yard; Dr Keziah Orme is the vet; Hollis Brand audits. Larchgill Pony
Sanctuary: Perran Holt coordinates and must see nothing of Quillet Moor. Ids and tokens are made
from names, so a test can ask for them by name.
"""

import argparse
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING
from uuid import UUID, uuid5

if TYPE_CHECKING:
    from yards.rules.roles import Viewer

NAMESPACE = UUID("5d2f3e0a-6a0e-4c54-9d2e-2f7a64d3c001")
BEGAN = datetime(2025, 1, 6, 9, 0, tzinfo=UTC)
ENDS = datetime(2099, 1, 1, tzinfo=UTC)
PASSWORD = "hay-and-halfpoints"


def ref(name: str) -> UUID:
    """Return the id that a name stands for in the test database."""
    return uuid5(NAMESPACE, name)


def token(name: str) -> str:
    """Return the token of a person (or of 'device') in the cast."""
    return f"hp_test_{name}"


@dataclass(frozen=True)
class Person:
    """Somebody in the cast."""

    key: str
    name: str
    organisation: str
    role: str
    yards: tuple[str, ...] | None = None

    @property
    def email(self) -> str:
        return f"{self.key}@example.org"


QUILLET = "Quillet Moor Horse Refuge"
LARCHGILL = "Larchgill Pony Sanctuary"
ORGANISATIONS = (QUILLET, LARCHGILL)
PEOPLE = (
    Person("isolde", "Isolde Kerr", QUILLET, "coordinator"),
    Person("maud", "Maud Pell", QUILLET, "assessor", ("Top Barn", "Sallow Field")),
    Person("tobias", "Tobias Wren", QUILLET, "assessor"),
    Person("keziah", "Dr Keziah Orme", QUILLET, "vet"),
    Person("hollis", "Hollis Brand", QUILLET, "auditor"),
    Person("perran", "Perran Holt", LARCHGILL, "coordinator"),
)
# yard -> organisation, hemisphere
YARDS = {
    "Top Barn": QUILLET,
    "Sallow Field": QUILLET,
    "Nether Paddocks": QUILLET,
    "Larchgill Yard": LARCHGILL,
}
# horse -> yard, species, use, extra facts
HORSES: dict[str, tuple[str, str, str, dict[str, str]]] = {
    "Teasel": ("Top Barn", "horse", "leisure", {"born": "2014"}),
    "Sorrel Lad": ("Top Barn", "horse", "athlete", {"born": "2017-05-01"}),
    "Tansy": ("Sallow Field", "horse", "broodmare", {"born": "2012"}),
    "Wagtail": ("Sallow Field", "donkey", "companion", {"born": "2010"}),
    "Marram": ("Nether Paddocks", "horse", "companion", {"born": "2009"}),
    "Gorse": ("Larchgill Yard", "horse", "leisure", {"born": "2015"}),
}
VET = {
    "vet_practice": "Ferrow Vets",
    "vet_phone": "01632 960118",
    "vet_out_of_hours_phone": "01632 960144",
    "vet_second_phone": "01632 960171",
}


def build() -> None:
    """Write the cast into the database that Django is connected to, as the runtime role."""
    from yards import isolation
    from yards.models import Organisation, User
    from yards.rules.roles import Role, Viewer

    people = {
        person.key: User.objects.create_user(
            id=ref(person.key),
            email=person.email,
            name=person.name,
            password=PASSWORD,
            created_at=BEGAN,
        )
        for person in PEOPLE
    }
    for name in ORGANISATIONS:
        viewer = Viewer(organisation=ref(name), role=Role.SYSTEM, via="command")
        with isolation.of(viewer):
            Organisation.objects.create(
                id=ref(name), name=name, name_key=name.casefold(), created_at=BEGAN
            )
            _places(viewer)
            _grants(name, people)


def _places(viewer: "Viewer") -> None:
    from scoring.actions import standing
    from tests import factories

    organisation = next(each for each in ORGANISATIONS if ref(each) == viewer.organisation)
    for yard in (each for each, owner in YARDS.items() if owner == organisation):
        made = factories.YardFactory(
            organisation_id=ref(organisation), ref=ref(yard), name=yard, **VET
        )
        for horse, (stands, species, use, facts) in HORSES.items():
            if stands == yard:
                animal = factories.HorseFactory(
                    organisation_id=ref(organisation),
                    ref=ref(horse),
                    name=horse,
                    yard=made,
                    species=species,
                    use=use,
                    **facts,
                )
                standing.make(viewer, animal, BEGAN)


def _grants(organisation: str, people: dict[str, object]) -> None:
    from tests import factories

    for person in (each for each in PEOPLE if each.organisation == organisation):
        grant = factories.GrantFactory(
            organisation_id=ref(organisation),
            ref=ref(f"grant of {person.key}"),
            person=people[person.key],
            role=person.role,
            all_yards=person.yards is None,
        )
        for yard in person.yards or ():
            factories.grant_yard(grant, ref(yard))
        factories.TokenFactory(
            organisation_id=ref(organisation),
            ref=ref(f"token of {person.key}"),
            person=people[person.key],
            label=f"{person.name}, test program",
            raw=token(person.key),
        )
    if organisation == QUILLET:
        factories.TokenFactory(
            organisation_id=ref(organisation),
            ref=ref("token of device"),
            person=people["maud"],
            label="Barn phone",
            raw=token("device"),
            is_device=True,
            expires_at=BEGAN + timedelta(days=36500),
        )


if __name__ == "__main__":
    import django

    argparse.ArgumentParser(description=__doc__).parse_args()
    django.setup()
    from tests import passwords

    passwords.cheapen()
    build()
