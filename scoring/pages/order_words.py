"""A vet's order in words: what it sets, by whom, until when and why."""

from collections.abc import Collection
from datetime import datetime
from decimal import Decimal
from zoneinfo import ZoneInfo

from django.utils.translation import gettext, ngettext

from scoring.pages import labels
from scoring.queries.vet_orders import VetOrderCard
from yards.pages import words
from yards.rules import bidi


def what(card: VetOrderCard, of: Collection[str] = ("band", "score", "weight")) -> str:
    """Return what an order sets, or some parts of it."""
    said = []
    if card.low is not None and card.high is not None and "band" in of:
        band = gettext("target band {low} to {high}")
        said.append(band.format(low=_half(card.low), high=_half(card.high)))
    if card.score_days is not None and "score" in of:
        said.append(_every_score(card.score_days))
    if card.weight_days is not None and "weight" in of:
        said.append(_every_weight(card.weight_days))
    return ", ".join(said)


def _every_score(days: int) -> str:
    return ngettext("score every day", "score every {days} days", days).format(days=days)


def _every_weight(days: int) -> str:
    return ngettext("weigh every day", "weigh every {days} days", days).format(days=days)


def part(card: VetOrderCard, name: str) -> str:
    """Return one part of an order, by itself beside its name."""
    if name == "band" and card.low is not None and card.high is not None:
        return gettext("{low} to {high}").format(low=_half(card.low), high=_half(card.high))
    days = (card.score_days if name == "score" else card.weight_days) or 0
    return ngettext("every day", "every {days} days", days).format(days=days)


def _half(value: Decimal) -> str:
    return labels.written(int(value * 2))


def sentence(
    card: VetOrderCard, zone: str, of: Collection[str] = ("band", "score", "weight")
) -> str:
    """Return an order in force as one sentence, with its giver, its end and its reason.

    The reason is a note, which not everybody may read.
    """
    told = gettext("{what}, set by {who} until {until}, because: {why}")
    if not card.reason:
        told = gettext("{what}, set by {who} until {until}")
    said = told.format(
        what=what(card, of),
        who=bidi.isolated(card.given_by_name),
        until=words.day(card.ends_at, zone),
        why=bidi.isolated(card.reason),
    )
    return words.capital(said)


def left(card: VetOrderCard, zone: str, now: datetime) -> str:
    """Return how soon an order ends, by the yard's calendar."""
    local = ZoneInfo(zone)
    days = (card.ends_at.astimezone(local).date() - now.astimezone(local).date()).days
    if days <= 0:
        return gettext("Ends today")
    return ngettext("Ends in {days} day", "Ends in {days} days", days).format(days=days)


def ended(card: VetOrderCard, zone: str) -> str:
    """Return by whom and why an order was ended early, nothing where it was not."""
    if card.ended is None:
        return ""
    told = gettext("Ended early by {who} on {on}: {why}")
    if not card.ended.reason:
        told = gettext("Ended early by {who} on {on}")
    return told.format(
        who=bidi.isolated(card.ended.by.name),
        on=words.day(card.ended.at, zone),
        why=bidi.isolated(card.ended.reason),
    )
