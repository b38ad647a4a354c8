"""The one place where scoring's message keys become sentences in the reader's language."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from django.utils.formats import date_format
from django.utils.functional import Promise
from django.utils.translation import gettext, ngettext

from scoring.queries import (
    band_words,
    fixture_words,
    photo_words,
    ration_words,
    risk_words,
    season_words,
    suggestion_words,
    weight_words,
    words,
)
from scoring.rules import formulas, risk, tape
from yards.queries import tastes
from yards.queries import wording as house
from yards.rules import fixture

WORDS: dict[str, str | Promise] = {
    **house.WORDS,
    **words.READINGS,
    **words.REASONS,
    **words.EVIDENCE,
    **words.ADVICE,
    **words.WHAT_NOT,
    **words.INTERVALS,
    **band_words.WHY,
    **suggestion_words.WHY,
    **suggestion_words.CHOSEN,
    **photo_words.REFUSED,
    **weight_words.ALL,
    **risk_words.ALL,
    **ration_words.ALL,
}


@dataclass(frozen=True, slots=True)
class FindingWords:
    """A finding in words."""

    reason: str
    evidence: Sequence[str]
    advice: str
    what_not_to_do: str


def say(key: str, params: Mapping[str, object] | None = None) -> str:
    """Return the sentence of a key in the reader's language.

    Parameters that are themselves keys of closed lists (regions, scales, methods, signs, days) are
    put into words first.
    """
    told = {name: _told(name, value) for name, value in (params or {}).items()}
    if "days" in told:
        told |= _spans(int(str(told["days"])))
    if params and "spring_first" in params:
        told["spring_last"] = season_words.until(
            str(params["spring_first"]), str(params["spring_last"])
        )
        key = f"{key}_of" if f"{key}_of" in WORDS else key
    if told.get("regions") and f"{key}_regions" in WORDS:
        key = f"{key}_regions"
    return _capital(house.spoken(WORDS, key, told))


def finding(said: Mapping[str, Any]) -> FindingWords:
    """Return what an alert's row or sighting says (``Finding.said``) in words."""
    return FindingWords(
        reason=say(*said["reason"]),
        evidence=tuple(say(*each) for each in said["evidence"]),
        advice=say(*said["advice"]),
        what_not_to_do=say(*said["what_not_to_do"]),
    )


def title(rule: str) -> str:
    """Return what an alert of a rule is called."""
    return _term(words.TITLES, rule)


def not_known(rule: str) -> tuple[str, ...]:
    """Return what a rule's finding says nothing of, a sentence each."""
    return tuple(say(key) for key in risk.does_not_know(rule))


def read_by(name: str, when: str, manner: str) -> str:
    """Return who read what an alert rests on: felt, only seen, or a concern (no manner)."""
    told = {
        "palpated": gettext("Felt by hand by {name}, {when}."),
        "visual": gettext("Seen, not felt, by {name}, {when}."),
    }.get(manner, gettext("Reported by {name}, {when}."))
    return told.format(name=name, when=when)


def haste(severity: str) -> str:
    """Return how soon a severity asks for an answer."""
    return _term(words.SEVERITIES, severity)


def state(name: str) -> str:
    """Return what an alert's state is called."""
    return _term(words.STATES, name)


def place(name: str) -> str:
    """Return where a score lies: below, within or above the target band."""
    return _term(words.PLACES, name)


def region(name: str) -> str:
    """Return what a region is called."""
    return _term(words.REGIONS, name)


def sign(name: str) -> str:
    """Return what a danger sign is called."""
    for row in fixture.load("danger_signs")["signs"]:
        if row["value"] == name:
            return fixture_words.said(row["text"])
    return name


def formula(name: str) -> str:
    """Return what a formula is called; one that is not listed, by its own name."""
    found = formulas.every().get(name)
    return name if found is None else fixture_words.said(found.title)


def due_line(horse: str, what: str, on: date) -> str:
    """Return one line of a reminder: which horse, what, and the day it was due."""
    line = gettext("{horse}: {what}, due {on}")
    return line.format(horse=horse, what=_term(words.WHATS, what), on=day(on))


def day(on: date) -> str:
    """Return a day as the reader writes it."""
    return date_format(on, "l j F Y")


def _term(terms: house.Words, key: str) -> str:
    return str(terms.get(key, key))


def _listed(terms: Callable[[str], str], value: object) -> str:
    named = [terms(each) for each in str(value).split(",") if each]
    return ("; " if any("," in each for each in named) else ", ").join(named)


def _told(name: str, value: object) -> object:
    if name == "on":
        return day(date.fromisoformat(str(value)))
    if name == "scales":
        named = [_term(words.SCALES, each) for each in str(value).split(" | ")]
        return gettext(" or ").join(named)
    if name in FIGURES:
        return FIGURES[name](str(value))
    if name in LISTS:
        return _listed(LISTS[name], value)
    return _term(TERMS[name], str(value)) if name in TERMS else value


FIGURES: Mapping[str, Callable[[str], str]] = {
    **dict.fromkeys(("spring_first", "spring_last"), season_words.day),
    **dict.fromkeys(("kg", "lost_kg", "last_kg", "low_kg", "high_kg"), tastes.weight),
    **dict.fromkeys(("cm", "meant_cm", "low_cm", "high_cm"), tastes.length),
    **dict.fromkeys(("from_score", "to_score", "felt_score", "used_score"), suggestion_words.score),
}
LISTS: Mapping[str, Callable[[str], str]] = {
    **dict.fromkeys(("findings", "thin", "fat"), suggestion_words.finding),
    "regions": region,
    "signs": sign,
    "what": lambda each: _term(words.WHATS, each),
    "position": lambda each: fixture_words.said(tape.position_texts()[each]),
    "formula": formula,
}
TERMS: Mapping[str, house.Words] = {
    "region": words.REGIONS,
    "scale": words.SCALES,
    "manner": words.MANNERS,
    "method": words.METHODS,
    "kind": words.METHODS,
    "species": words.SPECIES,
    "animal": risk_words.ANIMALS,
    "appetite": risk_words.APPETITES,
    "season": band_words.SEASONS,
    "stage": band_words.STAGES,
    "side": weight_words.SIDES,
    "fed": weight_words.FED,
}


def _spans(days: int) -> dict[str, str]:
    """Return a number of days in words, as a length and as a time gone by."""
    ago = ngettext("{days} day ago", "{days} days ago", days) if days > 0 else gettext("today")
    span = ngettext("{days} day", "{days} days", days)
    return {"ago": ago.format(days=days), "span": span.format(days=days)}


def _capital(sentence: str) -> str:
    return sentence[:1].upper() + sentence[1:]
