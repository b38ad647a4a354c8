"""The risk rules themselves in words: what each looks for, its thresholds, who hears how soon."""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from django.utils.translation import gettext, ngettext
from django.utils.translation import gettext_lazy as _

from scoring.queries import policy_words, words
from scoring.rules import policy
from yards.queries.wording import Words
from yards.rules import plain

# What a rule looks for. Never a diagnosis.
LOOKS_FOR: Words = {
    "emaciated": _(
        "The newest reading, felt or only seen, whole or in part, is very thin. Only a vet ends it,"
        " or a coordinator who records what the vet said."
    ),
    "danger_signs": _(
        "Somebody saw a danger sign: each one alone means that the vet is phoned now. Only a vet "
        "ends it, or a coordinator who records what the vet said."
    ),
    "off_feed": _(
        "A donkey, mule, pony, miniature, or mare late in foal or in milk leaves some of its feed; "
        "or any animal eats nothing."
    ),
    "losing_fast": _("Weights as taken fell fast, whatever tape or scales they were taken with."),
    "loss_in_foal_or_milk": _("A mare in foal or in milk loses weight or condition by the trend."),
    "losing_weight": _("It loses weight by the trend faster than is safe, planned or not."),
    "losing_score": _("It loses condition by the trend, and nobody planned that."),
    "fat_in_spring": _("It was felt to be fat, and it is spring in its yard."),
    "fat": _("It was felt to be fat, at any time of year."),
    "crest_raised": _("The crest of its neck was felt to be raised."),
    "region_far_above": _("One region is far fatter than the whole, and fat in itself."),
    "above_band": _("It was felt to be above its target band."),
    "thin": _("It was felt to be thin. A mare in foal or in milk, or an old animal, is for today."),
    "below_band_twice": _("Two scores in a row lie below its target band."),
    "gaining_fast": _("It gains weight or condition fast by the trend."),
    "plan_off_track": _("The trend is not what its plan asks for."),
    "assessors_apart": _("Two people scored it far apart within days."),
    "hyperlipaemia_watch": _("A donkey, pony or miniature came or moved of late."),
    "never_scored": _("It has been here for days and nobody has scored it by hand since it came."),
    "overdue": _("A score, a weight or a daily look is past its day."),
}
MEASURES: Words = {
    "overall": _("overall, to the nearest half"),
    "overall_in_milk": _("overall of a mare in milk, to the nearest half"),
    "region": _("one region"),
    "above_overall": _("that region above the overall"),
    "crest": _("crest"),
    "above_high_edge": _("above the band's high edge"),
    "below_low_edge": _("below the band's low edge"),
    "probability": _("certainty that its true level lies below the band"),
    "apart": _("the two scores apart"),
    "percent_in_60_days": _("lost within 60 days"),
    "kg_in_a_month": _("lost by a donkey within a month"),
    "percent_a_week": _("lost in a week"),
    "percent_a_week_sustained": _("a week, kept up"),
    "points_a_month": _("points a month"),
    "percent_a_week_apart": _("weight a week apart from the plan"),
    "points_a_month_apart": _("points a month apart from the plan"),
    "within_days": _("not longer ago than"),
    "after_days": _("after so many days"),
}
# Which way a value counts.
SIDES: Words = {
    "at_least": _("{value} or more"),
    "at_most": _("{value} or less"),
    "more_than": _("more than {value}"),
}
CONFIDENCE: Words = {
    "read": _("read in the source"),
    "secondary": _("read as quoted elsewhere"),
    "memory": _("from memory, the source not at hand"),
    "ours": _("chosen here"),
}
# A threshold's scale where it is of one species and no scale.
_OF_WEIGHT = frozenset({"kg_in_a_month"})


def looks_for(rule: str) -> str:
    """Return what a rule looks for."""
    return str(LOOKS_FOR[rule])


@dataclass(frozen=True, slots=True)
class Twin:
    """Another rule of the same finding with thresholds of its own, and what is said of it."""

    rule: str
    said: str


def twin(rule: str) -> Twin | None:
    """Return the rule whose thresholds a reader might take for this one's, if there is one."""
    if rule == "fat":
        said = gettext(
            "In spring “fat in spring” tells of a fat horse in its place. It has thresholds of its "
            "own, and a change here leaves them as they are."
        )
        return Twin("fat_in_spring", said)
    if rule == "fat_in_spring":
        said = gettext(
            "At other times “fat” tells of a fat horse. It has thresholds of its own, and a change "
            "here leaves them as they are."
        )
        return Twin("fat", said)
    return None


def measure(row: Mapping[str, Any]) -> str:
    """Return what a threshold's row measures, with its scale: "overall, on the 0 to 5 scale"."""
    named = str(MEASURES[row["measure"]])
    if row["scale"] not in words.SCALES or row["measure"] in _OF_WEIGHT:
        return named[:1].upper() + named[1:]
    told = gettext("{measure}, on the {scale}")
    said = told.format(measure=named, scale=words.SCALES[row["scale"]])
    return said[:1].upper() + said[1:]


def value(row: Mapping[str, Any], found: Decimal) -> str:
    """Return a threshold's value with its unit."""
    shown = figure(row, found)
    match row["unit"]:
        case "percent":
            return f"{shown}%"
        case "kg":
            return gettext("{kg} kg").format(kg=shown)
        case "share":
            return f"{plain.decimal_text(found * 100)}%"
        case "days":
            return ngettext("{days} day", "{days} days", int(found)).format(days=shown)
    return shown


def figure(row: Mapping[str, Any], found: Decimal) -> str:
    """Return a threshold's value as it is typed: scores with one place, the rest as need be."""
    return f"{found:.1f}" if row["unit"] == "halves" else plain.decimal_text(found)


def bound(row: Mapping[str, Any], found: Decimal) -> str:
    """Return a threshold in words: "4.0 or more"."""
    return str(SIDES[row["side"]]).format(value=value(row, found))


def default(row: Mapping[str, Any]) -> str:
    """Return a threshold's default in words."""
    return bound(row, Decimal(row["default"]))


def limits(row: Mapping[str, Any]) -> str:
    """Return between what an organisation may set a threshold."""
    ends = [value(row, Decimal(row[end])) for end in ("least", "most")]
    return gettext("{least} to {most}").format(least=ends[0], most=ends[1])


def confidence(row: Mapping[str, Any]) -> str:
    """Return how sure a threshold's source is."""
    return str(CONFIDENCE[row["confidence"]])


def heard(severity: str, policies: Mapping[str, policy.Policy]) -> str:
    """Return who hears of a severity, and how soon, by the organisation's own policy."""
    return policy_words.heard(policies[severity])
