"""What findings suggest, in sentences: never more than 'about', and never a word of what to do."""

from django.utils.translation import gettext_lazy as _

from scoring.queries import fixture_words
from yards.queries.wording import Words
from yards.rules import fixture

WHY: Words = {
    "suggest_one": _("Suggests about {from_score}."),
    "suggest_range": _("Suggests about {from_score} to {to_score}."),
    "suggest_between": _("Suggests between about {from_score} and {to_score}."),
    "suggest_disagree": _(
        "{thin}, yet {fat}: these disagree. Anywhere from {from_score} to {to_score}; feel again."
    ),
    "suggest_seen_alone": _("{findings}: one thing seen is too little to suggest a score."),
    "suggest_not_felt": _(
        "{findings}: that takes a hand, and the animal was only seen. Not counted."
    ),
    "suggest_noted": _(
        "{findings}: noted, not counted, since it can stay on a donkey when weight is lost."
    ),
    "suggest_noted_of_stallion": _(
        "{findings}: noted, not counted, since a stallion may have a crest at any score."
    ),
    "suggest_pocket_once": _("Score without the fat pocket: it is added once."),
}

# Once a score was chosen: who decides, and what counts.
CHOSEN: Words = {
    "chosen_hand": _("Your hand decides: {felt_score} is recorded."),
    "chosen_pocket": _("{felt_score} felt, +½ for the marked pocket = {used_score} counted."),
    "chosen_hand_pocket": _(
        "Your hand decides: {felt_score} felt, +½ for the marked pocket = {used_score} counted."
    ),
    "chosen_most": _("{felt_score} felt is the most: the marked pocket adds nothing."),
}

# After what several findings suggest: the levels that it spans, in the fewest words.
NEAR = _("{score}: {brief}.")

# Before what the first of several findings suggests, while a form is filled in.
FIRST = _("One so far.")


def finding(name: str) -> str:
    """Return what a finding is called inside a sentence: ``ribs.firm_pressure``."""
    landmark, _dot, value = name.partition(".")
    mark = fixture.load("findings")["landmarks"].get(landmark, {"values": ()})
    for row in mark["values"]:
        if row["value"] == value:
            return fixture_words.said(row["said"])
    return name


def score(points: str) -> str:
    """Return a score as the ruler's keys say it: 4, 4½, ½."""
    whole, _dot, rest = points.partition(".")
    half = "½" if rest == "5" else ""
    return half if half and whole == "0" else whole + half
