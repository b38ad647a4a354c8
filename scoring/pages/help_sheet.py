"""The sheet of a scale: what the hand feels at each score, and which score each finding goes with.

All of it is the fixtures'; nothing here knows of any animal.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from django.utils.text import capfirst
from django.utils.translation import gettext

from scoring.pages import labels
from scoring.queries import fixture_words, words
from scoring.rules import scale
from yards.rules import fixture

# Where each place of a whole-animal scale stands on the sheet, head to tail.
PLACES: Mapping[str, tuple[str, ...]] = {
    scale.NECK: ("crest", "withers", "shoulder"),
    scale.BACK: ("spine", "ribs"),
    scale.HIND: ("rump", "hip_bones", "tailhead"),
}


@dataclass(frozen=True, slots=True)
class Row:
    """One score: what is felt there, a cell a column; a half has none and lies between."""

    score: str
    cells: tuple[tuple[str, ...], ...]
    between: str = ""


@dataclass(frozen=True, slots=True)
class Found:
    """One finding of a place and the scores it goes with; empty where the scale has none."""

    text: str
    scores: str
    sense: str


@dataclass(frozen=True, slots=True)
class Sheet:
    """A scale's sheet. ``finds`` are a place's findings, thin to fat; ``sources`` as printed."""

    key: str
    columns: tuple[str, ...]
    rows: tuple[Row, ...]
    finds: tuple[tuple[str, tuple[Found, ...]], ...]
    caution: str
    sources: tuple[str, ...]


def of(key: str) -> Sheet:
    """Return the sheet of a scale in the reader's language."""
    data = fixture.load("scales")
    own = data["scales"][key]
    named = dict.fromkeys(level["source"] for level in own["levels"])
    return Sheet(
        key=key,
        columns=_columns(key),
        rows=tuple(_rows(key, own["levels"])),
        finds=tuple(_finds(key)),
        caution=_caution(key),
        sources=tuple(data["sources"][name] for name in named),
    )


def _columns(key: str) -> tuple[str, ...]:
    if key == scale.CREST:
        return (gettext("Crest"),)
    return tuple(capfirst(str(words.REGIONS[region])) for region in scale.REGIONS)


def _rows(key: str, levels: list[dict[str, Any]]) -> Iterator[Row]:
    by_score = {scale.halves(level["score"]): level for level in levels}
    for halves in scale.every_half(key):
        score = labels.written(halves)
        if halves in by_score:
            yield Row(score, tuple(_cells(key, by_score[halves])))
        else:
            ends = {"low": labels.written(halves - 1), "high": labels.written(halves + 1)}
            yield Row(score, (), gettext("between {low} and {high}").format(**ends))


def _cells(key: str, level: Mapping[str, Any]) -> Iterator[tuple[str, ...]]:
    if "regions" in level:
        for region in scale.REGIONS:
            yield tuple(fixture_words.said(text) for text in level["regions"][region].values())
    elif key == scale.CREST:
        yield tuple(fixture_words.said(text) for text in level["whole"].values())
    else:
        for places in PLACES.values():
            texts = (level["whole"].get(place) for place in places)
            yield tuple(fixture_words.said(text) for text in texts if text)


def _finds(key: str) -> Iterator[tuple[str, tuple[Found, ...]]]:
    data = fixture.load("findings")
    for name in data["by_scale"].get(key, ()):
        mark = data["landmarks"][name]
        found = tuple(_found(key, value) for value in mark["values"])
        yield fixture_words.said(mark["title"]), found


def _found(key: str, value: Mapping[str, Any]) -> Found:
    ends = value.get("goes_with", {}).get(key)
    text = fixture_words.said(value["text"])
    return Found(text, _span(ends) if ends else "", _sense(value.get("sense", "")))


def _span(ends: tuple[str, str]) -> str:
    low, high = (labels.written(scale.halves(each)) for each in ends)
    return low if low == high else gettext("{low} to {high}").format(low=low, high=high)


def _sense(name: str) -> str:
    return {"hand": gettext("by hand"), "eye": gettext("by eye")}.get(name, "")


def _caution(key: str) -> str:
    if key != scale.DONKEY:
        return ""
    return gettext(
        "Feel over bone. Fat pads on neck, ribs and rump can stay after weight is lost: score the "
        "cover elsewhere and note the pads."
    )
