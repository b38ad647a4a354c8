"""The thresholds of one risk rule as a table, and what each rests on."""

from django.utils.translation import gettext

from scoring.queries import rule_words
from scoring.queries import rules as queries
from yards.pages import tables


def thresholds(card: queries.RuleCard) -> tables.Table:
    """Return each threshold with where it counts from, its default and its limits."""
    return tables.Table(
        caption=gettext("Thresholds"),
        columns=(
            gettext("What"),
            gettext("Counts from"),
            gettext("Default"),
            gettext("May be set"),
        ),
        rows=[
            tables.Row(
                (
                    tables.Cell(rule_words.measure(each.row)),
                    tables.Cell(
                        rule_words.bound(each.row, each.value),
                        gettext("the organisation's own") if each.is_own else "",
                    ),
                    tables.Cell(rule_words.default(each.row)),
                    tables.Cell(rule_words.limits(each.row)),
                )
            )
            for each in card.thresholds
        ],
        empty=gettext("No thresholds"),
        empty_hint=gettext("This rule goes by no number that could be moved."),
    )


def sources(card: queries.RuleCard) -> list[tuple[str, str, str]]:
    """Return what each threshold rests on: what it measures, the source, how sure that is."""
    return [
        (rule_words.measure(each.row), each.row["source"], rule_words.confidence(each.row))
        for each in card.thresholds
    ]
