"""An animal as it comes in: who it is, and what its band, intervals and risks hang on."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, fields
from datetime import date, datetime
from decimal import Decimal
from typing import Any
from uuid import UUID

from yards.rules import errors, identity, plain
from yards.rules.errors import FieldError
from yards.rules.fields import Reader, given

HORSE, DONKEY, MULE = "horse", "donkey", "mule"
SPECIES = (HORSE, DONKEY, MULE)
KINDS: Mapping[str, tuple[str, ...]] = {
    HORSE: ("light_horse", "pony", "cob", "draught", "miniature"),
    DONKEY: ("standard_donkey", "miniature_donkey", "large_donkey"),
    MULE: ("mule", "hinny"),
}
ALL_KINDS = tuple(kind for kinds in KINDS.values() for kind in kinds)
SEXES = ("mare", "gelding", "stallion", "unknown")
MALE = frozenset({"gelding", "stallion"})
USES = (
    "leisure",
    "athlete",
    "companion",
    "retired",
    "broodmare",
    "stallion",
    "youngster",
    "working",
)
# Where none is sent.
USUAL_USE = "leisure"
NOT_BRED = "not_bred"
BREEDING = (NOT_BRED, "covered", "pregnant", "lactating", "empty")
LAMINITIS = ("never", "past", "within_a_year", "unknown")
ENDOCRINE = ("none", "suspected", "confirmed", "unknown")
BORN_BASIS = ("passport", "vet", "teeth", "guess", "unknown")
STATUSES = ("present", "away", "rehomed", "dead")
HERE = ("present", "away")
NAME_MOST = 120
HANDLING_MOST = 500
HEIGHT_CM = (Decimal(40), Decimal(230))


@dataclass(frozen=True, slots=True)
class HorseFacts:
    """A checked new animal; empty text where nothing was given.

    ``born_earliest`` is the first day that ``born`` can mean. ``warnings`` are odd, not wrong.
    """

    id: UUID | None
    name: str
    name_key: str
    yard: UUID
    species: str
    kind: str
    sex: str
    born: str
    born_earliest: date | None
    born_basis: str
    height_cm: Decimal | None
    use: str
    breeding: str
    laminitis: str
    endocrine: str
    transponder: str
    ueln: str
    status: str
    arrived_at: datetime | None
    is_unknown: bool
    handling: str = ""
    warnings: tuple[FieldError, ...] = ()

    def content(self) -> dict[str, Any]:
        """Return what a replay must match; without a note on handling as before there was one."""
        apart = {"id", "name_key", "born_earliest", "warnings"}
        if not self.handling:
            apart.add("handling")
        return plain.content(self, without=frozenset(apart))

    def columns(self) -> dict[str, Any]:
        """Return values by column: all but the id, the yard, the arrival and the warnings."""
        apart = {"id", "yard", "arrived_at", "warnings"}
        return {
            each.name: getattr(self, each.name) for each in fields(self) if each.name not in apart
        }


@dataclass(frozen=True, slots=True)
class HorseChange:
    """What is to change, by column, and the version that it was made from.

    ``ended_at`` stands only beside a status of rehomed or dead; None there means now.
    """

    version: int
    changes: Mapping[str, Any]
    ended_at: datetime | None = None
    warnings: tuple[FieldError, ...] = ()


@dataclass(slots=True)
class _Sheet:
    """One sheet being read: the reader, what is known besides, and the warnings so far."""

    reader: Reader
    today: date | None
    species: str = ""
    warnings: tuple[FieldError, ...] = ()


def _name(sheet: _Sheet) -> dict[str, Any]:
    name = sheet.reader.text("name", most=NAME_MOST, required=True)
    return {"name": name, "name_key": identity.name_key(name)}


def _species(sheet: _Sheet) -> dict[str, Any]:
    sheet.species = sheet.reader.choice("species", SPECIES, required=True)
    return {"species": sheet.species}


def _kind(sheet: _Sheet) -> dict[str, Any]:
    return {"kind": sheet.reader.choice("kind", KINDS.get(sheet.species, ALL_KINDS))}


def _born(sheet: _Sheet) -> dict[str, Any]:
    text = sheet.reader.text("born", most=10)
    found = _told(sheet, lambda: identity.born(text, today=sheet.today)) if text else None
    return {"born": text, "born_earliest": found.earliest if found else None}


def _told(sheet: _Sheet, read: Callable[[], Any]) -> Any:
    try:
        found = read()
    except errors.Invalid as refusal:
        for fault in refusal.errors:
            sheet.reader.refuse(fault.field, fault.key, **fault.params)
        return None
    sheet.warnings += getattr(found, "warnings", ())
    return found


def _height(sheet: _Sheet) -> dict[str, Any]:
    low, high = HEIGHT_CM
    return {"height_cm": sheet.reader.decimal("height_cm", low=low, high=high, places=1)}


def _transponder(sheet: _Sheet) -> dict[str, Any]:
    text = sheet.reader.text("transponder", most=30)
    found = _told(sheet, lambda: identity.transponder(text)) if text else None
    return {"transponder": found.number if found else ""}


def _ueln(sheet: _Sheet) -> dict[str, Any]:
    text = sheet.reader.text("ueln", most=30)
    found = _told(sheet, lambda: identity.ueln(text)) if text else None
    return {"ueln": found.number if found else ""}


def _one_of(
    name: str, choices: tuple[str, ...], default: str
) -> Callable[[_Sheet], dict[str, Any]]:
    return lambda sheet: {name: sheet.reader.choice(name, choices, default=default)}


def _handling(sheet: _Sheet) -> dict[str, Any]:
    return {"handling": sheet.reader.text("handling", most=HANDLING_MOST, lines=True)}


_PARTS: Mapping[str, Callable[[_Sheet], dict[str, Any]]] = {
    "name": _name,
    "kind": _kind,
    "sex": _one_of("sex", SEXES, "unknown"),
    "born": _born,
    "born_basis": _one_of("born_basis", BORN_BASIS, "unknown"),
    "height_cm": _height,
    "use": _one_of("use", USES, USUAL_USE),
    "breeding": _one_of("breeding", BREEDING, NOT_BRED),
    "laminitis": _one_of("laminitis", LAMINITIS, "unknown"),
    "endocrine": _one_of("endocrine", ENDOCRINE, "unknown"),
    "transponder": _transponder,
    "ueln": _ueln,
    "handling": _handling,
}


def _agree(reader: Reader, sex: str, breeding: str, use: str) -> None:
    if sex in MALE and breeding not in ("", NOT_BRED):
        reader.refuse("breeding", "male_not_bred")
    if sex in MALE and use == "broodmare":
        reader.refuse("use", "male_no_broodmare")


def check(raw: object, *, today: date | None = None) -> HorseFacts:
    """Return a new animal's facts, or raise Invalid naming every fault.

    ``today`` is the local date that no birth may lie after.
    """
    reader = Reader(raw)
    sheet = _Sheet(reader, today)
    ref, yard = reader.uuid("id"), reader.uuid("yard", required=True)
    values = _species(sheet)
    for part in _PARTS.values():
        values.update(part(sheet))
    values["status"] = reader.choice("status", HERE, default="present")
    values["arrived_at"] = reader.instant("arrived_at")
    values["is_unknown"] = bool(reader.flag("is_unknown"))
    _agree(reader, values["sex"], values["breeding"], values["use"])
    reader.finish()
    return HorseFacts(id=ref, yard=given(yard), warnings=sheet.warnings, **values)


def check_change(
    raw: object,
    *,
    species: str,
    sex: str = "",
    breeding: str = "",
    use: str = "",
    today: date | None = None,
) -> HorseChange:
    """Return the parts that were sent; one sent as null goes back to its default.

    ``species``, ``sex``, ``breeding`` and ``use`` are the animal's own as it stands: the species
    never changes, the others must agree with what is sent. A yard changes by a move.
    """
    reader = Reader(raw)
    sheet = _Sheet(reader, today, species)
    version = reader.integer("version", low=1, high=2**31 - 1, required=True)
    changes: dict[str, Any] = {}
    for name, part in _PARTS.items():
        if reader.has(name):
            changes.update(part(sheet))
    if reader.has("species") and reader.raw("species") != species:
        reader.refuse("species", "species_stays")
    if reader.has("yard"):
        reader.raw("yard")
        reader.refuse("yard", "yard_changes_by_a_move")
    if reader.has("is_unknown"):
        changes["is_unknown"] = bool(reader.flag("is_unknown"))
    ended_at = _status(reader, changes)
    _agree(
        reader,
        changes.get("sex", sex),
        changes.get("breeding", breeding),
        changes.get("use", use),
    )
    reader.finish()
    return HorseChange(given(version), changes, ended_at, sheet.warnings)


def _status(reader: Reader, changes: dict[str, Any]) -> datetime | None:
    if reader.has("status"):
        changes["status"] = reader.choice("status", STATUSES, required=True)
    ended_at = reader.instant("ended_at")
    if ended_at is not None and changes.get("status") not in ("rehomed", "dead"):
        reader.refuse("ended_at", "ends_only_when_gone")
    return ended_at
