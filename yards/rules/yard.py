"""A yard as it comes in: name, clock, spring, vet and quiet hours."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, fields
from datetime import time
from functools import cache
from typing import Any
from uuid import UUID
from zoneinfo import available_timezones

from yards.rules import identity, plain, seasons
from yards.rules.fields import Reader, given

NAME_MOST = 120
# Files that stand among the zones on some systems and name no place.
_NO_PLACES = frozenset({"Factory", "localtime", "posixrules"})


@dataclass(frozen=True, slots=True)
class YardFacts:
    """A checked yard; empty text where nothing was given. Spring's ends are "MM-DD"."""

    id: UUID | None
    name: str
    name_key: str
    time_zone: str
    hemisphere: str
    spring_first: str
    spring_last: str
    vet_practice: str
    vet_phone: str
    vet_out_of_hours_phone: str
    vet_second_phone: str
    quiet_from: time | None
    quiet_to: time | None

    def content(self) -> dict[str, Any]:
        """Return what a replay must match."""
        return plain.content(self, without=frozenset({"id", "name_key"}))

    def columns(self) -> dict[str, Any]:
        """Return values by column, without the id."""
        return {each.name: getattr(self, each.name) for each in fields(self) if each.name != "id"}


@dataclass(frozen=True, slots=True)
class YardChange:
    """What is to change, by column, and the version that it was made from."""

    version: int
    changes: Mapping[str, Any]


@cache
def zones() -> frozenset[str]:
    """Return the names of the IANA time zones that this machine knows."""
    return frozenset(available_timezones()) - _NO_PLACES


def _name(reader: Reader) -> dict[str, Any]:
    name = reader.text("name", most=NAME_MOST, required=True)
    return {"name": name, "name_key": identity.name_key(name)}


def _zone(reader: Reader) -> dict[str, Any]:
    zone = reader.text("time_zone", most=64, required=True)
    if zone and zone not in zones():
        reader.refuse("time_zone", "unknown_time_zone")
    return {"time_zone": zone}


def _hemisphere(reader: Reader) -> dict[str, Any]:
    return {"hemisphere": reader.choice("hemisphere", seasons.HEMISPHERES, required=True)}


def _spring(reader: Reader) -> dict[str, Any]:
    inner = reader.inside("spring")
    if inner is None:
        return {"spring_first": "", "spring_last": ""}
    return {
        "spring_first": inner.month_day("first", required=True) or "",
        "spring_last": inner.month_day("last", required=True) or "",
    }


def _vet(reader: Reader) -> dict[str, Any]:
    inner = reader.inside("vet") or Reader({})
    return {
        "vet_practice": inner.text("practice", most=NAME_MOST),
        "vet_phone": inner.phone("phone"),
        "vet_out_of_hours_phone": inner.phone("out_of_hours_phone"),
        "vet_second_phone": inner.phone("second_phone"),
    }


def _quiet(reader: Reader) -> dict[str, Any]:
    inner = reader.inside("quiet_hours")
    if inner is None:
        return {"quiet_from": None, "quiet_to": None}
    begin = inner.clock_time("from", required=True)
    end = inner.clock_time("to", required=True)
    if begin is not None and begin == end:
        inner.refuse("to", "quiet_hours_empty")
    return {"quiet_from": begin, "quiet_to": end}


_PARTS: Mapping[str, Callable[[Reader], dict[str, Any]]] = {
    "name": _name,
    "time_zone": _zone,
    "hemisphere": _hemisphere,
    "spring": _spring,
    "vet": _vet,
    "quiet_hours": _quiet,
}


def check(raw: object) -> YardFacts:
    """Return a new yard's facts, or raise Invalid naming every fault."""
    reader = Reader(raw)
    ref = reader.uuid("id")
    values = {name: value for part in _PARTS.values() for name, value in part(reader).items()}
    reader.finish()
    return YardFacts(id=ref, **values)


def check_change(raw: object) -> YardChange:
    """Return the parts that were sent; a part sent as null goes back to its default.

    A part is a whole: ``vet`` replaces all its numbers.
    """
    reader = Reader(raw)
    version = reader.integer("version", low=1, high=2**31 - 1, required=True)
    changes: dict[str, Any] = {}
    for name, part in _PARTS.items():
        if reader.has(name):
            changes.update(part(reader))
    reader.finish()
    return YardChange(given(version), changes)
