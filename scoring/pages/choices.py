"""The closed lists of the scoring page, in words. Values are the contract's."""

from typing import Any

from django.utils.translation import gettext

from scoring.pages import labels
from scoring.queries import fixture_words, instruments, wording
from scoring.rules import danger, scale, score_sheet, tape, weighing
from yards.pages import controls
from yards.rules import bidi, fixture
from yards.rules.roles import Viewer

Choices = list[tuple[str, str]]


def scale_label(key: str) -> str:
    """Return a scale's name with its source."""
    return {
        scale.FIVE: gettext("0 to 5 in half points (Carroll and Huntington 1988)"),
        scale.NINE: gettext("1 to 9 in half points (Henneke 1983)"),
        scale.DONKEY: gettext("donkey scale, 1 to 5 in half points"),
    }[key]


def short_scale(key: str) -> str:
    """Return a scale by its ends, beside a figure."""
    return {
        scale.FIVE: gettext("of 0 to 5"),
        scale.NINE: gettext("of 1 to 9"),
        scale.DONKEY: gettext("of 1 to 5, donkey scale"),
    }[key]


def ruler(key: str) -> Choices:
    """Return every score of a scale as (value, what people write)."""
    return [(scale.shown(halves), labels.written(halves)) for halves in scale.every_half(key)]


def scales(species: str, chosen: str) -> list[dict[str, Any]]:
    """Return the scales to choose from, where there is a choice."""
    keys = scale.for_species(species)
    short = {scale.FIVE: gettext("0 to 5"), scale.NINE: gettext("1 to 9")}
    if len(keys) < 2:
        return []
    return [{"value": key, "label": short[key], "current": key == chosen} for key in keys]


def _findings(key: str) -> dict[str, list[tuple[str, str, Choices]]]:
    data = fixture.load("findings")
    found: dict[str, list[tuple[str, str, Choices]]] = {}
    for name in data["by_scale"][key]:
        mark = data["landmarks"][name]
        region = mark["region"] if key == scale.FIVE else "whole"
        options = [(each["value"], fixture_words.said(each["text"])) for each in mark["values"]]
        title = fixture_words.said(mark["title"])
        found.setdefault(region, []).append((f"findings.{name}", title, options))
    return found


def _levels(key: str) -> dict[str, Choices]:
    found: dict[str, Choices] = {}
    for level in fixture.load("scales")["scales"][key]["levels"]:
        places = level.get("regions") or {"whole": level["whole"]}
        for region, landmarks in places.items():
            mark = level["score"].removesuffix(".0")
            text = " ".join(fixture_words.said(each) for each in landmarks.values())
            found.setdefault(region, []).append((mark, text))
    return found


def weight() -> controls.Control:
    """Return the weight beside a score, asked in the reader's unit."""
    return controls.quantity("weighing.weight_kg", gettext("Weight"), controls.WEIGHT)


def method(name: str) -> str:
    """Return how a weight was come by."""
    return {
        "weigh_tape": gettext("weigh tape"),
        "weighbridge": gettext("weighbridge"),
        "formula": gettext("girth and length by formula"),
        "estimate": gettext("by eye"),
    }[name]


def fed(name: str) -> str:
    """Return whether a weight was taken before or after feed."""
    return {"before_feed": gettext("Before feed"), "after_feed": gettext("After feed")}[name]


def side(name: str) -> str:
    """Return on which side a tape was read."""
    return {"left": gettext("Left"), "right": gettext("Right")}[name]


def all_choices(viewer: Viewer | None, key: str) -> dict[str, Any]:
    """Return every list of the page for one scale; without a viewer, none that is somebody's."""
    held = () if viewer is None else instruments.choose_instruments(viewer)
    return {
        **_scoring(key),
        **_looks(),
        **_weighing(),
        "instrument": [(str(each.id), bidi.isolated(each.label)) for each in held],
        "photo_sides": photo_sides(),
    }


def _scoring(key: str) -> dict[str, Any]:
    return {
        "levels": _levels(key),
        "findings": _findings(key),
        "scores": ruler(key),
        "by_eye": ruler(key),
        "crest": ruler(scale.CREST),
        "crest_levels": _levels(scale.CREST)["whole"],
        "manner": [("palpated", gettext("Felt by hand")), ("visual", gettext("Seen only"))],
        "fat_pocket": [
            ("none", gettext("None")),
            ("slight", gettext("Slight, +0")),
            ("marked", gettext("Marked, +½")),
        ],
        "danger_signs": danger_signs(),
    }


def danger_signs() -> Choices:
    """Return every danger sign, as what is seen."""
    return [(name, wording.sign(name)) for name in danger.signs()]


def photo_sides() -> Choices:
    """Return the sides that a scored animal is photographed from."""
    return [
        ("left", gettext("Left side")),
        ("right", gettext("Right side")),
        ("rear", gettext("Rear")),
    ]


def look(name: str, value: str) -> str:
    """Return an answer about appetite, muscle, coat, rug or hold; nothing where there is none."""
    return dict(_looks()[name]).get(value, "") if value else ""


def _looks() -> dict[str, Choices]:
    return {
        "appetite": [
            ("all", gettext("Eats all")),
            ("some", gettext("Leaves some")),
            ("none", gettext("Not eating")),
            ("unknown", gettext("Not known")),
        ],
        "muscle": [
            ("full", gettext("Full")),
            ("some_loss", gettext("Some wasting")),
            ("marked_loss", gettext("Marked wasting")),
            ("", gettext("Not noted")),
        ],
        "coat": [
            ("summer", gettext("Summer")),
            ("winter", gettext("Winter")),
            ("changing", gettext("Changing")),
            ("clipped", gettext("Clipped")),
            ("", gettext("Not noted")),
        ],
        "held": [
            (score_sheet.HELD_BY_SOMEBODY, gettext("Somebody")),
            (score_sheet.HELD_BY_NOBODY, gettext("Nobody")),
            ("", gettext("Not noted")),
        ],
        "rug_off": [
            ("true", gettext("Rug off")),
            ("false", gettext("Rug on")),
            ("", gettext("Not noted")),
        ],
    }


def _weighing() -> dict[str, Choices]:
    return {
        "method": [
            ("", gettext("Not weighed")),
            ("weigh_tape", gettext("Weigh tape")),
            ("weighbridge", gettext("Weighbridge")),
            ("formula", gettext("Girth and length")),
            ("estimate", gettext("By eye")),
        ],
        "fed": [(each, fed(each)) for each in weighing.FED],
        "tape_position": [
            (value, fixture_words.said(text)) for value, text in tape.position_texts().items()
        ],
        "tape_side": [(value, side(value)) for value in tape.sides()],
    }
