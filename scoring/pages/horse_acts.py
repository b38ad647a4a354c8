"""What may be done with a horse from its page, in the order of the daily work."""

from uuid import UUID

from django.urls import reverse
from django.utils.translation import gettext

from yards.pages import tables
from yards.queries import horses
from yards.rules import horse as rule
from yards.rules.roles import Verb, Viewer, may

# With the fold they are three rows of two on a phone.
FIRST = 5


def shown(viewer: Viewer, card: horses.HorseCard) -> dict[str, list[tables.Link]]:
    """Return the first acts, and the rarer ones, which a phone folds.

    So what became of the horse is in the phone's first screen. One act alone is not folded.
    """
    offered = _offered(viewer, card)
    first = len(offered) if len(offered) <= FIRST + 1 else FIRST
    return {"links": offered[:first], "rarer": offered[first:]}


def _offered(viewer: Viewer, card: horses.HorseCard) -> list[tables.Link]:
    here, is_itself = card.status in rule.HERE, card.status != "merged"
    acts = [
        ("scoring:score", gettext("Assess"), Verb.RECORD_READINGS, here),
        ("scoring:weigh", gettext("Weigh"), Verb.RECORD_READINGS, here),
        ("scoring:concern", gettext("Concern"), Verb.RECORD_READINGS, here),
        ("yards:merge_horse", gettext("Identify"), Verb.CHANGE_HORSES, card.is_unknown and here),
        ("scoring:vet_order", gettext("Vet's order"), Verb.OVERRIDE_BANDS, here),
        ("scoring:write_note", gettext("Clinical note"), Verb.WRITE_CLINICAL, here),
        ("yards:add_event", gettext("Event"), Verb.RECORD_EVENTS, is_itself),
        ("yards:move_horse", gettext("Move"), Verb.MOVE_HORSES, here),
        ("yards:handling", gettext("Handling"), Verb.RECORD_EVENTS, here),
        ("scoring:ask", gettext("Ask the vet"), Verb.ASK_VET, here),
        ("scoring:rules", gettext("Rules"), Verb.EXCEPT_HORSES, here),
        ("yards:horse_seen", gettext("Who can see it"), Verb.READ_PEOPLE, True),
        ("yards:change_horse", gettext("Facts"), Verb.CHANGE_HORSES, is_itself),
    ]
    return [
        tables.Link(_way(page, card.ref), told, go=page == "scoring:score")
        for page, told, verb, fits in acts
        if fits and may(viewer, verb)
    ]


def _way(page: str, ref: UUID) -> str:
    if page == "scoring:rules":
        return reverse(page) + tables.query(horse=str(ref))
    return reverse(page, args=[ref])
