"""One sentence for who looks after them all: which horses worry now and why, the gravest first."""

from typing import NamedTuple

from django.utils.translation import gettext, ngettext

from scoring.queries import board as queries
from scoring.queries import board_rows, wording
from scoring.rules import board as rule

# So many horses are named; the rest is told by its number.
NAMED = 6
_GRAVE = (rule.CALL_THE_VET, rule.DECIDE)
_MIXED = (rule.ASSESS_TODAY, rule.WATCHED)


class Worry(NamedTuple):
    """A horse of the page that worries: the anchor of its row, its name, and why."""

    at: str
    name: str
    why: str


class Told(NamedTuple):
    """The sentence in its parts: who is named, how many more there are, what is calmer."""

    named: tuple[Worry, ...]
    more: str
    calmer: str


def told(found: queries.Board) -> Told | None:
    """Return the sentence of a board that begins at its top; None where there is no horse.

    A horse worries that is to call the vet for or to decide about, or has an alert that nobody has
    answered and that says more than that a look is overdue.
    """
    if not found.total:
        return None
    held = [row for row in found.rows if _worries(row)][:NAMED]
    count = sum(
        n
        for (group, calm), n in found.calms.items()
        if group in _GRAVE or (group in _MIXED and calm == rule.WORRIES)
    )
    left = count - len(held)
    more = ngettext("and {n} more", "and {n} more", left).format(n=left) if left else ""
    named = tuple(Worry(f"#row-{row.horse_id}", row.name, _why(row)) for row in held)
    return Told(named, more, _calmer(found, besides=bool(named)))


def _worries(row: board_rows.Row) -> bool:
    return row.group in _GRAVE or (row.group in _MIXED and row.calm == rule.WORRIES)


def _why(row: board_rows.Row) -> str:
    alert = row.alert
    if alert is None:
        return ""
    if row.group == rule.CALL_THE_VET:
        how = gettext("call the vet")
    elif row.passed_on is not None:
        how = gettext("decision overdue")
    else:
        how = wording.haste(alert.severity)
    title = wording.title(alert.rule)
    return gettext("{what}, {how}").format(what=title, how=how[:1].lower() + how[1:])


def _calmer(found: queries.Board, *, besides: bool) -> str:
    """Return what the others with anything to be done come to; ``besides`` horses that are named.

    Those counts are no group's: one whose alert is answered may be due for a look as well. So the
    sentence says that they come on top of who is named, and no tile is to be found in it.
    """
    calms = found.calms
    answered = sum(calms.get((group, rule.ANSWERED), 0) for group in _MIXED)
    late = calms.get((rule.ASSESS_TODAY, rule.ONLY_LATE), 0)
    said = [
        _answered(answered, besides=besides) if answered else "",
        ngettext(
            "{n} is only due or overdue for a look.",
            "{n} are only due or overdue for a look.",
            late,
        ).format(n=late)
        if late
        else "",
    ]
    return " ".join(each for each in said if each)


def _answered(count: int, *, besides: bool) -> str:
    if besides:
        told = ngettext(
            "Besides these, {n} has an alert that somebody has answered.",
            "Besides these, {n} have alerts that somebody has answered.",
            count,
        )
    else:
        told = ngettext(
            "{n} has an alert that somebody has answered.",
            "{n} have alerts that somebody has answered.",
            count,
        )
    return told.format(n=count)
