"""A weight formula as the pages tell it."""

from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal

from django.utils.translation import gettext

from scoring.queries import weight_words
from scoring.queries.weight_formulas import FormulaCard
from yards.queries import tastes


@dataclass(frozen=True, slots=True)
class FormulaLabel:
    """A formula in a reader's words: for whom, how far out, from where and how sure."""

    title: str
    population: str
    error: str
    source: str
    confidence: str
    note: str


def labelled(card: FormulaCard, height_cm: Decimal | None) -> FormulaLabel:
    """Return a formula in the reader's words and units, for an animal of a height."""
    likely = card.error_at(height_cm)
    return FormulaLabel(
        title=card.title,
        population=card.population,
        error=error(likely.percent, likely.kg),
        source=card.source,
        confidence=str(weight_words.CONFIDENCES[card.confidence]),
        note=card.note,
    )


def error(percent: Decimal | None, kg: Decimal | None) -> str:
    """Return a likely error: per cent of the weight, or a weight."""
    if kg is not None:
        return gettext("likely within {weight}").format(weight=whole(kg))
    return gettext("likely within {percent}%").format(percent=f"{percent:f}")


def whole(kg: Decimal) -> str:
    """Return a likely error to the whole kilogram, in the reader's unit: it is known no better."""
    return tastes.weight(kg.quantize(Decimal(1), ROUND_HALF_UP))
