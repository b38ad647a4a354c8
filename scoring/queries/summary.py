"""What the morning's summary says of alerts that are not resolved."""

from dataclasses import dataclass
from datetime import datetime
from zoneinfo import ZoneInfo

from django.conf import settings
from django.utils.formats import date_format
from django.utils.translation import gettext, ngettext

from scoring.queries import wording
from scoring.queries.alerts import AlertCard
from scoring.rules import ladder


@dataclass(frozen=True, slots=True)
class Line:
    """One alert in one line, and where it is answered."""

    text: str
    link: str


def line(card: AlertCard, now: datetime) -> Line:
    """Return one alert: which horse, what, how grave, and where it stands."""
    said = gettext("{horse}: {title} ({haste}). {stands}").format(
        horse=card.horse_name,
        title=wording.title(card.rule),
        haste=wording.haste(card.severity),
        stands=stands(card, now),
    )
    return Line(said, f"{settings.SITE_URL}/alerts/{card.id}/")


def stands(card: AlertCard, now: datetime) -> str:
    """Return where an alert stands: unanswered, promised, put off."""
    owner = card.owner.name if card.owner is not None else ""
    if card.state == ladder.ACKNOWLEDGED and card.next_step_by is not None:
        who = card.acknowledged_by.name if card.acknowledged_by is not None else owner
        told = gettext("{who} took it on: {step}, by {at}.")
        if card.next_step_by <= now:
            told = gettext("{who} took it on: {step}, by {at}. That has passed.")
        return told.format(who=who, step=card.next_step, at=_when(card.next_step_by, card))
    if card.state == ladder.SNOOZED and card.snoozed_until is not None:
        told = gettext("Put off until {at} by {who}: {reason}")
        who = card.snoozed_by.name if card.snoozed_by is not None else owner
        at = _when(card.snoozed_until, card)
        return told.format(at=at, who=who, reason=card.snooze_reason)
    if card.exhausted_at is not None:
        return gettext("Everybody has been told, and nobody has answered.")
    return gettext("Nobody has answered yet.")


def subject(unanswered: int, horses: int) -> str:
    """Return what a morning's summary is headed by."""
    due = ngettext("Due today or overdue: {n} horse", "Due today or overdue: {n} horses", horses)
    alerts = ngettext("{n} open alert", "{n} open alerts", unanswered).format(n=unanswered)
    if unanswered and horses:
        return f"{alerts}. {due.format(n=horses)}"
    if unanswered:
        return alerts
    return due.format(n=horses) if horses else gettext("To watch this week")


def _when(at: datetime, card: AlertCard) -> str:
    return date_format(at.astimezone(ZoneInfo(card.time_zone)), "l j F Y, H:i")
