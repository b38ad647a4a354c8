"""What the scoring form needs to be shown a step at a time: facts, data and words for its scripts.

Nothing here anchors the hand: of the animal only what a weight formula asks.
"""

import json
from typing import Any

from django.utils.translation import gettext

from scoring.pages import labels, phone_words, round_words
from scoring.queries import fixture_words, formula_table, suggestion_words
from scoring.rules import formulas, scale, weighing
from yards.pages import controls
from yards.queries.horses import HorseCard
from yards.rules import horse as horses


def measures() -> tuple[controls.Control, ...]:
    """Return a field for each measure that a formula can take, in the reader's unit."""
    titles: dict[str, str] = {}
    for each in formulas.measures().values():
        titles.setdefault(each.field, fixture_words.said(each.title))
    return tuple(
        controls.quantity(f"weighing.measures.{name}", titles[name], controls.LENGTH)
        for name in weighing.MEASURES
    )


def context(key: str, horse: HorseCard | None, *, rule: str, zone: str) -> dict[str, Any]:
    """Return what the template hands over for a scale; without a horse, what any such one needs."""
    species = horse.species if horse is not None else _species(key)
    own = scale.of(key)
    facts = {"scale": key, "low": own.low, "high": own.high, "rule": rule, "zone": zone}
    if horse is not None:
        facts["horse"] = _animal(horse)
    return {
        "facts": _json(facts),
        "words": _json(words() | (_shell_words() if horse is None else {})),
        # A page of one horse asks a shell for them, where they are wanted at all.
        "formulas": formula_table.table(species) if horse is None else "",
        "titles": formula_table.titles(species),
        "measures": measures(),
    }


def _species(key: str) -> str:
    return horses.DONKEY if key == scale.DONKEY else horses.HORSE


def _animal(card: HorseCard) -> dict[str, Any]:
    return {
        "id": str(card.ref),
        "name": card.name,
        "yard": {"id": str(card.yard.ref), "name": card.yard.name},
        "species": card.species,
        "kind": card.kind,
        "sex": card.sex,
        "born": card.born,
        "height_cm": None if card.height_cm is None else float(card.height_cm),
        "is_pregnant": card.breeding == "pregnant",
    }


def _json(told: Any) -> str:
    return json.dumps(told, ensure_ascii=False, separators=(",", ":"))


def words() -> dict[str, Any]:
    """Return what the scripts say, in the reader's language; {names} are filled in by them."""
    return {
        "step": gettext("Step {n} of {all}"),
        "on": gettext("Next"),
        "next": gettext("Next: {step}"),
        "steps": _steps(),
        "choose": gettext("Choose a score, or “Not safe to palpate”."),
        "brought": gettext("Brought back as it was left on {at}."),
        "unkept": gettext(
            "This phone keeps nothing of what you enter: its storage is full or closed to us. "
            "Finish and save before you leave this page."
        ),
        **phone_words.photos(),
        **_sums(),
    }


def _shell_words() -> dict[str, str]:
    """Return what is said once a score is kept here; a page of one horse asks a shell for it."""
    return {
        "next_horse": gettext("Next: {name}"),
        "walked": gettext("Back to the round"),
        "kept": gettext("Saved on this phone. It goes to Halfpoint when there is a connection."),
        "arrived": gettext("Saved in Halfpoint."),
        "read_it": gettext("Read what it came to"),
        "photos_unkept": gettext(
            "Photos that this phone had no room to keep: {n}. The score stands without them."
        ),
        "next_due": gettext("Next: {name}, due today"),
        "next_late_one": round_words.late(1),
        "next_late": round_words.late(2),
        "danger_then": gettext("Danger signs were seen: phone the vet now."),
        **phone_words.dialling(),
        "not_kept": gettext(
            "This phone could not keep the score: its storage is full or closed to us. Leave this "
            "page open, make room, and press Save again."
        ),
    }


def _steps() -> dict[str, str]:
    return {
        "look": gettext("look first"),
        "neck_and_shoulder": gettext("neck and shoulder"),
        "back_and_ribs": gettext("back and ribs"),
        "hindquarters": gettext("hindquarters"),
        "overall": gettext("whole animal"),
        "weight": gettext("weight, notes"),
        "summary": gettext("summary"),
    }


def _sums() -> dict[str, str]:
    return {
        "nearest": gettext("overall, nearest half {half}"),
        "pelvis": gettext("overall, pelvis-led"),
        "mean_beside": gettext("Mean of the three {mean}, nearest half {half}."),
        "pelvis_beside": labels.pelvis_led(),
        "none": gettext("No overall score"),
        "none_why": gettext("Where it was not safe to palpate there is no score, so no overall."),
        "fattest": gettext("Fattest"),
        "tie": gettext("Fattest: {regions}, equal"),
        "pocket": str(suggestion_words.CHOSEN["chosen_pocket"]),
        "pocket_most": str(suggestion_words.CHOSEN["chosen_most"]),
        "unsafe": gettext("Not safe to palpate"),
        "danger": gettext("Danger signs"),
        "danger_some": gettext("{n} seen: phone the vet now"),
        "danger_none": gettext("Looked, none seen"),
        "danger_not": gettext("Not answered"),
        "manner": gettext("How it was scored"),
        "weight": gettext("Weight"),
        "not_weighed": gettext("Not weighed"),
        "no_figure": gettext("no figure given yet"),
        "estimate": gettext("Estimate: not for drug doses without the vet."),
        "photo_count": gettext("Photos"),
        "missing": gettext("Still to be scored: {steps}."),
    }


def facing() -> dict[str, str]:
    """Return what is said of band, change and what comes next.

    The form asks for these sentences once every region has its answer: they are not in its page.
    """
    return {
        "within": gettext("Within target band"),
        "above": gettext("Above target band"),
        "below": gettext("Below target band"),
        "half_above": gettext("Half a point above target band"),
        "half_below": gettext("Half a point below target band"),
        "one_above": gettext("1 point above target band"),
        "one_below": gettext("1 point below target band"),
        "far_above": gettext("{n} points above target band"),
        "far_below": gettext("{n} points below target band"),
        **{f"why_{name}": text for name, text in labels.why_placed().items()},
        "far": gettext(
            "Last time {last} on {on}. {now} is far from that: right horse, right tape, right unit?"
        ),
        "is_right": gettext("The weight is right"),
        "is_it": gettext("Is the weight right?"),
        "by_mean": gettext("Band, alerts and trend go by the mean of the three."),
        "since": gettext("Since {at}"),
        "same": gettext("No change from {mean}"),
        "more": gettext("{by} more than {mean}"),
        "less": gettext("{by} less than {mean}"),
        "next_due": gettext("Next score"),
        "in_days": gettext("in {n} days"),
        "changed": gettext("Changed after the comparison was shown: {changes}."),
        "changed_from": gettext("{region} {now}, first {first}"),
    }
