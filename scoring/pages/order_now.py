"""Which orders act on a horse now, of which part of each, and what a new one would change."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any
from uuid import UUID

from django.urls import reverse
from django.utils.translation import gettext

from scoring.pages import came, chart_units, order_words
from scoring.queries import standing, vet_orders, wording
from scoring.queries.vet_orders import VetOrderCard
from yards.pages import words
from yards.rules import bidi
from yards.rules.roles import Viewer

BAND, SCORE, WEIGHT = "band", "score", "weight"


def parts(card: VetOrderCard) -> frozenset[str]:
    """Return what an order sets."""
    held = {BAND: card.low, SCORE: card.score_days, WEIGHT: card.weight_days}
    return frozenset(name for name, value in held.items() if value is not None)


@dataclass(frozen=True, slots=True)
class Acting:
    """An order in force: ``acts`` are the parts that hold, not set by a newer one too."""

    card: VetOrderCard
    acts: frozenset[str]

    @property
    def behind(self) -> frozenset[str]:
        """The parts that a newer order stands before."""
        return parts(self.card) - self.acts


def acting(found: Sequence[VetOrderCard], now: datetime) -> list[Acting]:
    """Return the orders in force of a list that has the newest first: of each part the newest."""
    told, taken = [], frozenset[str]()
    for card in found:
        if card.in_force(now):
            told.append(Acting(card, parts(card) - taken))
            taken |= parts(card)
    return told


def shown(viewer: Viewer, horse: UUID, zone: str, back: str, *, now: datetime) -> dict[str, Any]:
    """Return what stands now of each part, by whose word, and the orders that stand behind."""
    held = acting(vet_orders.list_vet_orders(viewer, horse).items, now)
    by = {name: each.card for each in held for name in each.acts}
    stands = standing.get_standing(viewer, horse, now=now)
    return {
        "stands": [
            _part(gettext("Target band"), BAND, by, _band(stands), zone),
            _part(gettext("Score"), SCORE, by, _due(stands.due.score_at, zone), zone),
            _part(gettext("Weigh"), WEIGHT, by, _due(stands.due.weight_at, zone), zone),
        ],
        "behind": [_behind(each, zone) for each in held if each.behind],
        "ends": [
            {
                "what": order_words.what(each.card),
                "href": came.linked(reverse("scoring:end_order", args=[each.card.id]), back),
            }
            for each in held
        ],
    }


def _part(
    what: str, name: str, by: Mapping[str, VetOrderCard], house: tuple[str, str], zone: str
) -> dict[str, str]:
    """Return one part: what holds, and the order that sets it, else why the house does."""
    card = by.get(name)
    if card is None:
        return {"what": what, "value": house[0], "why": house[1]}
    told = gettext("By the order of {who}, until {until}, because: {why}")
    why = told.format(
        who=bidi.isolated(card.given_by_name),
        until=words.day(card.ends_at, zone),
        why=bidi.isolated(card.reason),
    )
    return {"what": what, "value": order_words.part(card, name), "why": why}


def _band(stands: standing.StandingCard) -> tuple[str, str]:
    low, high = (chart_units.edge(each) for each in (stands.band.low, stands.band.high))
    why = " ".join(wording.say(*each) for each in stands.band_why)
    said = gettext("By the house's own rules. {why}").format(why=why)
    return gettext("{low} to {high}").format(low=low, high=high), said


def _due(at: datetime, zone: str) -> tuple[str, str]:
    said = gettext("Next by {day}").format(day=words.day(at, zone))
    return said, gettext("By the house's own rules.")


def _behind(each: Acting, zone: str) -> str:
    told = gettext(
        "Given before and still running, but a newer order stands before it: {what}, by {who} "
        "until {until}."
    )
    return told.format(
        what=order_words.what(each.card, each.behind),
        who=bidi.isolated(each.card.given_by_name),
        until=words.day(each.card.ends_at, zone),
    )
