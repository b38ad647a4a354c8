"""The horse seen from the side, one region at a time, and what is asked there.

Marks are landmarks of the drawing in its own units; a question gets a number on the drawing when
the place it asks about is drawn.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from django import template
from django.utils.translation import gettext

from scoring.templatetags import drawings

register = template.Library()


@dataclass(frozen=True, slots=True)
class Mark:
    """A numbered circle on the drawing, and the question it belongs to."""

    number: int
    x: int
    y: int
    name: str


@dataclass(frozen=True, slots=True)
class Finding:
    """One question about a region; ``number`` is empty where the drawing has no such place."""

    name: str
    legend: str
    choices: Iterable[tuple[str, str]]
    number: int | str


@dataclass(frozen=True, slots=True)
class Step:
    """One region, or the whole animal: title, questions, and the ruler's name and ends."""

    region: str
    number: int
    title: str
    legend: str
    findings: tuple[Finding, ...]
    ends: tuple[str, str]
    crest: bool
    levels: tuple[tuple[str, str], ...] = ()

    @property
    def name(self) -> str:
        """Return the name of the score's field."""
        return f"regions.{self.region}" if self.number else "overall"


# Where each question's place lies on the drawing.
PLACES: Mapping[str, tuple[int, int]] = {
    "findings.crest": (380, 196),
    "findings.shoulder": (440, 312),
    "findings.spine": (640, 281),
    "findings.ribs": (640, 380),
    "fat_pocket": (520, 352),
    "findings.rump": (832, 292),
    "findings.hip_bones": (776, 346),
    "findings.tailhead": (896, 326),
}
# Part of the drawing shown for each region, and where its words about the line begin.
VIEWS: Mapping[str, tuple[str, int]] = {
    "neck_and_shoulder": ("120 84 620 378", 372),
    "back_and_ribs": ("290 140 560 322", 470),
    "hindquarters": ("500 140 540 322", 560),
}


def _findings(choices: Any, region: str) -> list[tuple[str, str, Iterable[tuple[str, str]]]]:
    asked = list((choices.get("findings") or {}).get(region) or ())
    if region == "back_and_ribs":
        pocket = gettext("Fat pocket behind shoulder")
        asked.append(("fat_pocket", pocket, choices.get("fat_pocket") or ()))
    return asked


def _levels(choices: Any, region: str) -> tuple[tuple[str, str], ...]:
    return tuple((choices.get("levels") or {}).get(region) or ())


@register.simple_tag
def region_step(form: Any, choices: Any, region: str, number: int) -> Step:
    """Return what one of the three regions asks."""
    name = drawings.names()[region][1]
    findings, count = [], 0
    for field, legend, options in _findings(choices, region):
        drawn = field in PLACES
        count += drawn
        findings.append(Finding(field, legend, options, count if drawn else ""))
    return Step(
        region=region,
        number=number,
        title=name[:1].upper() + name[1:],
        legend=gettext("Score for %s, 0 to 5 in half points") % name,
        findings=tuple(findings),
        ends=(gettext("0 no fat felt"), gettext("5 bone not found")),
        crest=region == "neck_and_shoulder",
        levels=_levels(choices, region),
    )


@register.simple_tag
def whole_step(choices: Any, scale: str) -> Step:
    """Return what a whole-animal scale asks: one score, the places felt being findings."""
    low, high = drawings.span(scale)
    findings = tuple(Finding(*asked, number="") for asked in _findings(choices, "whole"))
    return Step(
        region="whole",
        number=0,
        title=gettext("Whole animal"),
        legend=gettext("Score for the whole animal, %(low)s to %(high)s in half points")
        % {"low": low, "high": high},
        findings=findings,
        ends=(gettext("%s no fat felt") % low, gettext("%s bone not found") % high),
        crest=True,
        levels=_levels(choices, "whole"),
    )


@register.inclusion_tag("scoring/drawings/side_view.html")
def side_view(step: Step) -> dict[str, Any]:
    """Draw one region, hatched down to the score line, with the numbers of its questions."""
    view, say_x = VIEWS[step.region]
    marks = [
        Mark(finding.number, *PLACES[finding.name], finding.legend)
        for finding in step.findings
        if isinstance(finding.number, int)
    ]
    numbers = ", ".join(f"{mark.number} {mark.name}" for mark in marks)
    words = gettext(
        "Side view of a horse facing left, %(region)s hatched. %(numbers)s. "
        "Nothing below the dashed line is scored."
    ) % {"region": step.title, "numbers": numbers}
    return {"region": step.region, "view": view, "say_x": say_x, "marks": marks, "words": words}


@dataclass(frozen=True, slots=True)
class Seen:
    """The horse with its places: the part of the drawing shown, its numbers, and its words."""

    view: str
    marks: tuple[Mark, ...]
    words: str


# The places of a sheet, in the order in which the hand comes to them.
EVERY = (
    *("findings.crest", "findings.shoulder", "fat_pocket", "findings.ribs"),
    *("findings.spine", "findings.rump", "findings.hip_bones", "findings.tailhead"),
)


def _place(name: str) -> str:
    return {
        "findings.crest": gettext("crest"),
        "findings.shoulder": gettext("in front of the shoulder blade"),
        "fat_pocket": gettext("behind the shoulder"),
        "findings.ribs": gettext("ribs"),
        "findings.spine": gettext("spine"),
        "findings.rump": gettext("rump beside the spine"),
        "findings.hip_bones": gettext("hip bones"),
        "findings.tailhead": gettext("beside the tail"),
    }[name]


@register.simple_tag
def places(scale: str) -> Seen:
    """Return every place that a scale is felt at, all drawn alike."""
    alone = scale == "crest"
    names = EVERY[:1] if alone else EVERY
    marks = tuple(Mark(n, *PLACES[name], _place(name)) for n, name in enumerate(names, 1))
    numbers = ", ".join(f"{mark.number} {mark.name}" for mark in marks)
    return Seen(
        view="90 30 620 434" if alone else "90 30 890 434",
        marks=marks,
        words=gettext("A horse from its left side. %s.") % numbers,
    )
