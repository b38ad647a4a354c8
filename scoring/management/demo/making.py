"""Makes the whole demo, so that a start that was broken off can be taken up again.

Each organisation is one transaction. Its keys are on disk just before the commit, so an
organisation that is there always has its keys, and keys without one are written again.
"""

from collections.abc import Mapping
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

import uuid_utils.compat as uuid_utils

from scoring.actions import seeding
from scoring.management.demo import houses, keys, year
from yards import isolation
from yards.rules import fixture
from yards.rules.roles import Role, Viewer


class AlreadyThere(Exception):
    """The demo's people, and so its organisation, are in this database already."""


def make(
    folder: Path,
    *,
    url: str,
    now: datetime,
    password: str | None = None,
    scenario: Mapping[str, Any] | None = None,
) -> Path:
    """Make what is missing of the demo and write ``demo.json`` into the folder; return its path.

    ``scenario`` is told as ``fixtures/demo.json`` tells the house's own.

    Raises AlreadyThere for an organisation of the demo whose keys are not here.
    """
    scenario = scenario or fixture.load("demo")
    made = folder / "demo.json"
    if made.exists():
        raise AlreadyThere(f"{made} is there: this folder has its demo already.")
    parts = [folder / f"demo-{number}.part" for number, _ in enumerate(scenario["organisations"])]
    found = [
        _organisation(scenario, facts, part, now=now, password=password)
        for facts, part in zip(scenario["organisations"], parts, strict=True)
    ]
    keys.write(
        made,
        {
            "url": url,
            "people": [person for each in found for person in each["people"]],
            "tokens": {key: raw for each in found for key, raw in each["tokens"].items()},
            "mail": str((folder / "mail").absolute()),
        },
    )
    for part in parts:
        part.unlink()
    return made


def _organisation(
    scenario: Mapping[str, Any],
    facts: Mapping[str, Any],
    part: Path,
    *,
    now: datetime,
    password: str | None,
) -> dict[str, Any]:
    system = Viewer(organisation=uuid_utils.uuid7(), role=Role.SYSTEM, via=houses.VIA)
    began = now - timedelta(days=scenario["began_days_ago"])
    with isolation.of(system):
        if known := seeding.known_of(each["email"] for each in facts["people"]):
            kept = keys.read(part)
            if kept is None:
                raise AlreadyThere(f"{facts['name']} is there already, with {known[0]}.")
            return kept
        house = houses.make(system, facts, began=began, now=now, password=password)
        year.Year(house, seed=scenario["seed"], began=began, now=now).play()
        made = {
            "people": [_person(facts, each) for each in house.people.values()],
            "tokens": houses.issue_tokens(house, now),
        }
        keys.write(part, made)
    return made


def _person(facts: Mapping[str, Any], person: houses.Person) -> dict[str, str]:
    return {
        "name": person.facts["name"],
        "email": person.facts["email"],
        "password": person.password,
        "role": person.facts["role"],
        "organisation": facts["name"],
    }
