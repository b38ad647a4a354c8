"""What a score came to, by both rules and roughly on another scale, and what had been suggested.

Place, alerts and trend go by the exact mean whichever rule an organisation reads first, so the mean
is named beside them when it does not stand first itself.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from django.utils.text import capfirst
from django.utils.translation import gettext

from scoring.pages import choices, labels
from scoring.queries import suggesting, suggestion_words, wording
from scoring.queries.assessments import AssessmentAnswer
from scoring.rules import scale
from yards.rules import organisation


@dataclass(frozen=True, slots=True)
class Summed:
    """A score as its page says it: the figure that leads, what it is, and what stands beside.

    ``pelvis`` is the other rule's score with what it is, where that does not lead; ``roughly`` is
    where the score lies on another scale, folded away since nothing goes by it.
    """

    lead: str
    what: str
    beside: tuple[str, ...]
    pelvis: str = ""
    roughly: str = ""


def leads_with_pelvis(found: AssessmentAnswer) -> bool:
    """Return whether the pelvis-led score is what the organisation reads first here."""
    chosen = found.overall_rule == organisation.PELVIS_LED
    return chosen and found.overall_pelvis_led is not None


def up(found: AssessmentAnswer) -> Summed | None:
    """Return both overalls, the organisation's first; None where a region has no score."""
    if found.overall is None:
        return None
    mean, nearest = f"{found.overall:.2f}", _half(found.overall_nearest_half)
    roughly = _roughly(found)
    if found.overall_pelvis_led is None:
        what = gettext("overall, nearest half {half}").format(half=nearest)
        return Summed(mean, what, (), roughly=roughly)
    pelvis = _half(found.overall_pelvis_led)
    if leads_with_pelvis(found):
        text = gettext(
            "Mean of the three {mean}, nearest half {half}: band, alerts and trend go by it."
        )
        beside = text.format(mean=mean, half=nearest)
        return Summed(pelvis, gettext("overall, pelvis-led"), (beside,), roughly=roughly)
    what = gettext("overall, nearest half {half}").format(half=nearest)
    return Summed(mean, what, (), labels.pelvis_led().format(half=pelvis), roughly)


def in_brief(found: AssessmentAnswer) -> tuple[str, str]:
    """Return the overall that leads, for a list, and what stands beside it."""
    on = choices.short_scale(found.scale)
    if found.overall is None:
        return gettext("No overall"), on
    mean, pelvis = f"{found.overall:.2f}", _half(found.overall_pelvis_led)
    if not pelvis:
        return mean, on
    if leads_with_pelvis(found):
        return pelvis, gettext("{scale}, pelvis-led; mean {mean}").format(scale=on, mean=mean)
    return mean, gettext("{scale}; pelvis-led {half}").format(scale=on, half=pelvis)


def _half(value: Decimal | None) -> str:
    return "" if value is None else labels.written(int(value * 2))


def _roughly(found: AssessmentAnswer) -> str:
    across = found.approximate
    if across is None:
        return ""
    low, high = labels.written(across.low), labels.written(across.high)
    said = low if low == high else gettext("{low} to {high}").format(low=low, high=high)
    text = gettext("On the scale {scale} roughly {said}, by description only: nothing goes by it.")
    return text.format(said=said, scale=choices.short_scale(across.scale))


@dataclass(frozen=True, slots=True)
class Suggested:
    """One place: its name, the reasons in sentences, and each finding with its own span."""

    name: str
    reasons: tuple[str, ...]
    found: tuple[str, ...]


def suggested(found: AssessmentAnswer) -> list[Suggested]:
    """Return what had been suggested when the score was recorded, head to tail."""
    return [
        Suggested(
            _place(each["place"]),
            tuple(suggesting.sentences(each)),
            tuple(_finding(one) for one in each["findings"] if len(each["findings"]) > 1),
        )
        for each in found.suggestion.get("places", ())
    ]


def _place(name: str) -> str:
    return gettext("Whole animal") if name == scale.WHOLE else capfirst(wording.region(name))


def _finding(one: Mapping[str, Any]) -> str:
    said = suggestion_words.finding(f"{one['landmark']}.{one['value']}")
    if one["low"] is None:
        return gettext("{finding}: not counted").format(finding=said)
    low, high = (suggestion_words.score(one[each]) for each in ("low", "high"))
    if low == high:
        return gettext("{finding}: {low}").format(finding=said, low=low)
    return gettext("{finding}: {low} to {high}").format(finding=said, low=low, high=high)
