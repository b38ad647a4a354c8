"""How a tape is laid, a horse weighed and measured, each line with its source, from fixtures."""

from dataclasses import dataclass
from typing import Any

from scoring.pages import formula_labels
from scoring.pages.formula_labels import FormulaLabel
from scoring.queries import fixture_words, weight_formulas
from scoring.rules import chart_shape, formulas
from yards.pages import words
from yards.queries import tastes
from yards.rules import fixture

# The order in which the drawing numbers the measures.
DRAWN = (
    *("girth", "belly", "length_shoulder", "length_straight", "length_elbow"),
    *("height", "neck", "carpus", "forelimb"),
)
# Where each number stands on the drawing, in its own units.
SPOTS = (
    *((536, 420), (658, 470), (760, 384), (840, 432), (700, 470)),
    *((972, 560), (372, 234), (388, 690), (428, 740)),
)


@dataclass(frozen=True, slots=True)
class Line:
    """One line of advice and where it is from."""

    text: str
    source: str


@dataclass(frozen=True, slots=True)
class Made:
    """A formula as people read it, and its measures by their numbers on the drawing."""

    label: FormulaLabel
    species: str
    measures: str
    means: str


def context() -> dict[str, Any]:
    """Return everything that the page shows."""
    laid = fixture.load("tape")
    return {
        "placement": [_line(row) for row in laid["placement"]],
        "same_hour": [_line(row) for row in laid["same_hour"]],
        "positions": [fixture_words.said(row["text"]) for row in laid["positions"]],
        "spots": SPOTS,
        "measures": _measures(),
        "formulas": [_made(each) for each in formulas.every().values()],
        "caution": weight_formulas.caution(),
        "ten": tastes.weight(chart_shape.TAPE_REPEATS_KG),
    }


def _line(row: dict[str, str]) -> Line:
    return Line(fixture_words.said(row["text"]), row["source"])


def _measures() -> list[tuple[int, str, str]]:
    known = formulas.measures()
    return [
        (n, fixture_words.said(known[key].title), fixture_words.said(known[key].landmark))
        for n, key in enumerate(DRAWN, 1)
    ]


def _made(found: formulas.Formula) -> Made:
    card = weight_formulas.card_of(found)
    numbers = (str(DRAWN.index(each.key) + 1) for each in found.measures)
    return Made(
        label=formula_labels.labelled(card, None),
        species=words.species(card.species),
        measures=", ".join(numbers),
        means=card.error_at(None).means,
    )
