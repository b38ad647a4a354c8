"""What the weighing pages ask, and the help that stands with them."""

from collections.abc import Iterable, Mapping
from decimal import Decimal
from typing import Any
from uuid import UUID

from django.urls import reverse
from django.utils.translation import gettext

from scoring.actions import asking
from scoring.pages import choices
from scoring.queries import fixture_words, instruments
from scoring.queries.weight_formulas import MeasureCard
from scoring.rules import tape, weighing
from yards.pages import controls
from yards.pages.controls import Control, quantity
from yards.rules import bidi, errors, units
from yards.rules.roles import Viewer

MEASURES = "measures."
# A tick that answers what is asked of a weight far from the last one.
SURE = "weight_is_right"


def sure(refused: errors.Refused) -> tuple[Control, ...]:
    """Return that tick where it is what is asked."""
    if not asking.is_asked(refused):
        return ()
    return (Control(SURE, gettext("The weight is right"), controls.FLAG),)


def instrument(viewer: Viewer) -> Control:
    """Return the question which tape or scales."""
    return Control(
        "instrument",
        gettext("Which tape or scales"),
        "pick",
        choices=[
            (str(each.id), bidi.isolated(each.label))
            for each in instruments.choose_instruments(viewer)
        ],
        empty=gettext("None named"),
        hint=gettext("Tapes differ: name yours, so that its readings are held together."),
    )


def fed() -> Control:
    """Return the question whether before or after feed."""
    return Control(
        "fed",
        gettext("Before or after feed"),
        "pick",
        choices=[(each, choices.fed(each)) for each in weighing.FED],
        empty=gettext("Not noted"),
    )


def laid() -> tuple[Control, ...]:
    """Return the questions where a tape lay and on which side it was read."""
    places = [(value, fixture_words.said(text)) for value, text in tape.position_texts().items()]
    return (
        Control(
            "tape_position",
            gettext("Where the tape lay on the withers"),
            "pick",
            choices=places,
            empty=gettext("Not noted"),
        ),
        Control(
            "tape_side",
            gettext("Side that the tape was read on"),
            "pick",
            choices=[(value, choices.side(value)) for value in tape.sides()],
            empty=gettext("Not noted"),
        ),
    )


def measures(
    cards: Iterable[MeasureCard], kept: Mapping[str, str] | None = None
) -> tuple[Control, ...]:
    """Return a field for each measure, in the reader's unit, with where the tape lies."""
    return tuple(_measure(each, (kept or {}).get(each.field)) for each in cards)


def _kind(field: str) -> str:
    """Return as what a measure is typed: a height may be in hands."""
    return controls.HEIGHT if field == "height_cm" else controls.LENGTH


def _measure(card: MeasureCard, kept: str | None) -> Control:
    kind = _kind(card.field)
    hint = card.landmark
    if controls.unit_of(kind) == units.HANDS:
        hint = gettext("{landmark} In hands and inches: 14.2").format(landmark=hint)
    stands = None if kept is None else Decimal(kept)
    return quantity(f"{MEASURES}{card.field}", card.title, kind, hint, kept=stands)


def starts(kept: Mapping[str, str]) -> dict[str, str]:
    """Return what the measures' fields begin with."""
    return {
        f"{MEASURES}{name}": controls.start(_kind(name), Decimal(value))
        for name, value in kept.items()
    }


def ways(horse: UUID, now: str) -> list[dict[str, Any]]:
    """Return the two ways to weigh, each with its page; ``now`` is the one that is open."""
    told = {
        "scoring:weigh": gettext("Tape, scales or by eye"),
        "scoring:measure": gettext("Girth and length"),
    }
    return [
        {"href": reverse(page, args=[horse]), "words": words, "current": page == now}
        for page, words in told.items()
    ]


def help_text() -> dict[str, Any]:
    """Return how a tape is laid and when, a line each."""
    return {
        "placement": [fixture_words.said(text) for text in tape.placement()],
        "same_hour": [fixture_words.said(text) for text in tape.same_hour()],
    }
