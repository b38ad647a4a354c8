"""What the pages call an animal's facts. Values are the contract's."""

from collections.abc import Callable, Sequence
from datetime import date, datetime
from typing import Protocol
from zoneinfo import ZoneInfo

from django.utils.formats import date_format
from django.utils.translation import gettext

from yards.pages.controls import Choices
from yards.rules import daytime, event, horse


def at(moment: datetime, zone: str) -> str:
    """Return an instant as people in the yard say it, with its year."""
    return date_format(moment.astimezone(ZoneInfo(zone)), "j M Y, H:i")


def day(on: date | datetime, zone: str = "UTC") -> str:
    """Return a day as sentences have it: of the calendar, or of an instant in a yard."""
    told = daytime.local_date(on, zone) if isinstance(on, datetime) else on
    return date_format(told, "j M Y")


def use(key: str) -> str:
    """Return what a horse is kept for."""
    return _USES.get(key, lambda: key)()


class Kept(Protocol):
    """An animal that is kept for something, if that is known."""

    @property
    def use(self) -> str: ...

    @property
    def is_unknown(self) -> bool: ...


def use_of(animal: Kept) -> str:
    """Return what an animal is kept for; of an unknown one nobody said what stands by default."""
    return use(animal.use) if is_use_known(animal) else gettext("use not known")


def is_use_known(animal: Kept) -> bool:
    """Return whether somebody said what an animal is kept for; else a default stands there."""
    return not (animal.is_unknown and animal.use == horse.USUAL_USE)


_USES = {
    "leisure": lambda: gettext("leisure"),
    "athlete": lambda: gettext("athlete"),
    "companion": lambda: gettext("companion"),
    "retired": lambda: gettext("retired"),
    "broodmare": lambda: gettext("broodmare"),
    "youngster": lambda: gettext("youngster"),
    "stallion": lambda: gettext("stallion"),
    "working": lambda: gettext("working"),
}


def species(key: str) -> str:
    """Return what animal it is."""
    return {"horse": gettext("horse"), "donkey": gettext("donkey"), "mule": gettext("mule")}[key]


def kind(key: str) -> str:
    """Return what kind of its species an animal is."""
    return {
        "light_horse": gettext("light horse"),
        "pony": gettext("pony"),
        "cob": gettext("cob"),
        "draught": gettext("draught horse"),
        "miniature": gettext("miniature horse"),
        "standard_donkey": gettext("standard donkey"),
        "miniature_donkey": gettext("miniature donkey"),
        "large_donkey": gettext("large donkey"),
        "mule": gettext("mule"),
        "hinny": gettext("hinny"),
    }.get(key, "")


def sex(key: str) -> str:
    """Return an animal's sex."""
    return {
        "mare": gettext("mare"),
        "gelding": gettext("gelding"),
        "stallion": gettext("stallion"),
        "unknown": gettext("sex not known"),
    }.get(key, "")


def status(key: str) -> str:
    """Return whether an animal is here."""
    return {
        "present": gettext("here"),
        "away": gettext("away"),
        "rehomed": gettext("rehomed"),
        "dead": gettext("dead"),
        "merged": gettext("identified and merged"),
    }.get(key, "")


def breeding(key: str) -> str:
    """Return where a mare stands in breeding."""
    return {
        "not_bred": gettext("not bred from"),
        "covered": gettext("covered"),
        "pregnant": gettext("in foal"),
        "lactating": gettext("in milk"),
        "empty": gettext("empty"),
    }.get(key, "")


def laminitis(key: str) -> str:
    """Return whether an animal has had laminitis."""
    return {
        "never": gettext("never"),
        "past": gettext("more than a year ago"),
        "within_a_year": gettext("within a year"),
        "unknown": gettext("not known"),
    }.get(key, "")


def endocrine(key: str) -> str:
    """Return what is known of an endocrine disease."""
    return {
        "none": gettext("none known"),
        "suspected": gettext("suspected"),
        "confirmed": gettext("confirmed by a vet"),
        "unknown": gettext("not known"),
    }.get(key, "")


def born_basis(key: str) -> str:
    """Return how a birth is known."""
    return {
        "passport": gettext("passport"),
        "vet": gettext("vet"),
        "teeth": gettext("teeth"),
        "guess": gettext("guess"),
        "unknown": gettext("not known"),
    }.get(key, "")


def event_kind(key: str) -> str:
    """Return what an event is called."""
    return _EVENTS[key]()


_EVENTS = {
    "arrived": lambda: gettext("Arrived"),
    "left": lambda: gettext("Went away for a time"),
    "returned": lambda: gettext("Came back"),
    "covered": lambda: gettext("Covered"),
    "found_in_foal": lambda: gettext("Found in foal"),
    "found_empty": lambda: gettext("Found empty"),
    "foaled": lambda: gettext("Foaled"),
    "weaned": lambda: gettext("Weaned"),
    "gelded": lambda: gettext("Gelded"),
    "clipped": lambda: gettext("Clipped"),
    "rugged": lambda: gettext("Rugged"),
    "wormed": lambda: gettext("Wormed"),
    "vaccinated": lambda: gettext("Vaccinated"),
    "feet_trimmed": lambda: gettext("Feet trimmed"),
    "shod": lambda: gettext("Shod"),
    "teeth_seen_to": lambda: gettext("Teeth seen to"),
    "vet_visited": lambda: gettext("Vet visited"),
    "vet_phoned": lambda: gettext("Vet spoken to by telephone"),
    "looked_in_on": lambda: gettext("Looked in on"),
    "rehomed": lambda: gettext("Rehomed"),
    "died": lambda: gettext("Died"),
}


def all_of(values: Sequence[str], word: Callable[[str], str]) -> Choices:
    """Return choices of values in words, as a list to pick from says them."""
    return [(each, capital(word(each))) for each in values]


def kinds() -> Choices:
    """Return every kind of animal."""
    return all_of(horse.ALL_KINDS, kind)


def events() -> Choices:
    """Return every kind of event."""
    return all_of(event.KINDS, event_kind)


def capital(text: str) -> str:
    """Return a text as the beginning of a line or a sentence."""
    return text[:1].upper() + text[1:]
