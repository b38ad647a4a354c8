"""One organisation of the demo: its people, yards and horses, made by the real actions."""

import secrets
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import Any
from uuid import UUID

from scoring.actions import instruments
from scoring.management.demo import scores
from yards.actions import grants, horses, organisations, people, tokens, yards
from yards.rules.roles import Role, Viewer

VIA = "command"
TOKENS_LAST = timedelta(days=730)


@dataclass(frozen=True, slots=True)
class Person:
    """Somebody of the demo, and the password that opens the door to them."""

    id: UUID
    facts: Mapping[str, Any]
    password: str
    viewer: Viewer


@dataclass(frozen=True, slots=True)
class Recorded:
    """A reading that was sent: its id, by whom, and what was sent."""

    ref: UUID
    viewer: Viewer
    raw: Mapping[str, Any]


@dataclass(slots=True)
class House:
    """What was made, by the keys and names of the scenario."""

    system: Viewer
    facts: Mapping[str, Any]
    people: dict[str, Person] = field(default_factory=dict)
    yards: dict[str, UUID] = field(default_factory=dict)
    horses: dict[str, UUID] = field(default_factory=dict)
    stands: dict[str, str] = field(default_factory=dict)
    named: dict[UUID, Mapping[str, Any]] = field(default_factory=dict)
    readings: dict[tuple[str, int], Recorded] = field(default_factory=dict)
    tapes: dict[str, str] = field(default_factory=dict)
    tape: str = ""
    bridge: str = ""

    @property
    def animals(self) -> list[dict[str, Any]]:
        """The scenario's animals, each with what holds for most of them filled in."""
        return [{**self.facts["most"], **each} for each in self.facts["horses"]]

    @property
    def coordinator(self) -> Viewer:
        """The coordinator as a viewer."""
        return self.people[self.facts["coordinator"]].viewer

    @property
    def vet(self) -> Viewer | None:
        """The vet as a viewer, where there is one."""
        return self.people[self.facts["vet"]].viewer if "vet" in self.facts else None

    def scorer(self, key: str, horse: str) -> scores.Scorer:
        """Return how somebody scores a horse where it stands: a tape of their own is for a yard."""
        others = (each.facts["name"] for name, each in self.people.items() if name != key)
        told = self.facts.get("hands", {}).get(key, {})
        own = told.get("tape", {})
        is_own = own.get("yard") == self.stands[horse]
        return scores.Scorer(
            key,
            held_by=next(others, self.people[key].facts["name"]),
            bias=told.get("bias", 0.0),
            spread=told.get("spread", scores.SPREAD),
            tape=self.tapes[key] if is_own else self.tape,
            reads=own["reads"] if is_own else 1.0,
        )


def make(
    system: Viewer,
    facts: Mapping[str, Any],
    *,
    began: datetime,
    now: datetime,
    password: str | None,
) -> House:
    """Make the organisation as it stood when the years began; those who arrive later come later.

    ``began`` is that instant, ``now`` today's, from which ages and springs are counted. A
    ``password`` given is everybody's, else each has a random one.
    """
    house = House(system, facts)
    for each in facts["people"]:
        _let_in(house, each, password or secrets.token_urlsafe(12), began)
    for yard in facts["yards"]:
        raw = {**facts["yard_facts"], **_spring(yard, now), "name": yard["name"]}
        raw["quiet_hours"] = yard["quiet_hours"]
        house.yards[yard["name"]] = yards.make_yard(house.coordinator, raw, now=began).ref
    house.tape = _instrument(house, "weigh_tape", facts["tape"], began)
    house.bridge = _instrument(house, "weighbridge", facts["bridge"], began)
    for key, told in facts.get("hands", {}).items():
        if own := told.get("tape"):
            label, yard = own["label"], house.yards[own["yard"]]
            house.tapes[key] = _instrument(house, "weigh_tape", label, began, yard)
    return house


def _instrument(house: House, kind: str, label: str, at: datetime, yard: UUID | None = None) -> str:
    raw = {"kind": kind, "label": label, "yard": str(yard) if yard else None}
    return str(instruments.add_instrument(house.coordinator, raw, now=at).id)


def _let_in(house: House, facts: Mapping[str, Any], password: str, began: datetime) -> None:
    system, role = house.system, Role(facts["role"])
    named = {"email": facts["email"], "name": facts["name"]}
    if facts["key"] == house.facts["coordinator"]:
        person = organisations.make_organisation(
            system,
            name=house.facts["name"],
            email=facts["email"],
            coordinator=facts["name"],
            now=began,
            password=password,
        ).coordinator
    else:
        person = people.find_or_make(**named, now=began, password=password).id
        kept = {key: facts[key] for key in ("registration_number", "register") if key in facts}
        raw = {"person": facts["email"], "name": facts["name"], "role": role, "yards": "all"}
        grants.issue_grant(house.coordinator, {**raw, **kept}, now=began)
        if role is Role.VET:
            grants.confirm_here(system, person, began)
    viewer = Viewer(organisation=system.organisation, role=role, person=person, via=VIA)
    house.people[facts["key"]] = Person(person, facts, password, viewer)


def _spring(yard: Mapping[str, Any], now: datetime) -> dict[str, Any]:
    """Return a spring that encloses today, so that the README's lines hold on any date."""
    if "spring_days" not in yard:
        return {}
    before, after = (timedelta(days=days) for days in yard["spring_days"])
    return {"spring": {"first": f"{now - before:%m-%d}", "last": f"{now + after:%m-%d}"}}


FACTS = (
    *("name", "transponder", "species", "kind", "sex", "height_cm"),
    *("use", "laminitis", "is_unknown"),
)


def register(house: House, facts: Mapping[str, Any], *, at: datetime, now: datetime) -> None:
    """Register an animal that arrives at an instant; its birth is counted from today."""
    raw = {
        **{key: facts[key] for key in FACTS if key in facts},
        "yard": str(house.yards[facts["yard"]]),
        "arrived_at": at.isoformat(),
        **_birth(facts, now),
    }
    ref = horses.register_horse(house.coordinator, raw, now=at).ref
    house.horses[facts["name"]], house.named[ref] = ref, facts
    house.stands[facts["name"]] = facts["yard"]


def _birth(facts: Mapping[str, Any], now: datetime) -> dict[str, str]:
    """Return what is known of the birth: the day of one born here, the year by its teeth, or no."""
    if "born_days_ago" in facts:
        day = (now - timedelta(days=facts["born_days_ago"])).date()
        return {"born": day.isoformat(), "born_basis": "vet"}
    if "age" in facts:
        return {"born": str(now.year - facts["age"]), "born_basis": "teeth"}
    return {}


def issue_tokens(house: House, now: datetime) -> dict[str, str]:
    """Issue the scenario's tokens and return them, by their keys in demo.json."""
    return {
        each["key"]: tokens.issue_token(
            house.system,
            {
                "person": str(house.people[each["person"]].id),
                "label": each["label"],
                "device": each.get("device", False),
                "until": (now + TOKENS_LAST).isoformat(),
            },
            now=now,
        ).raw
        for each in house.facts["tokens"]
    }
