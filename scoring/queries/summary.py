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
        return told.format(who=who, step=card.next_step, at=when(card.next_step_by, card.time_zone))
    if card.state == ladder.SNOOZED and card.snoozed_until is not None:
        told = gettext("Put off until {at} by {who}: {reason}")
        who = card.snoozed_by.name if card.snoozed_by is not None else owner
        at = when(card.snoozed_until, card.time_zone)
        return told.format(at=at, who=who, reason=card.snooze_reason)
    if card.exhausted_at is not None:
        return gettext("Everybody has been told, and nobody has answered.")
    return gettext("Nobody has answered yet.")


def subject(unanswered: int, horses: int, watched: int) -> str:
    """Return what a morning's summary is headed by: the gravest of what is in it."""
    due = ngettext("Due today or overdue: {n} horse", "Due today or overdue: {n} horses", horses)
    alerts = ngettext("{n} open alert", "{n} open alerts", unanswered).format(n=unanswered)
    if unanswered and horses:
        return f"{alerts}. {due.format(n=horses)}"
    if unanswered:
        return alerts
    if horses:
        return due.format(n=horses)
    return gettext("To watch this week") if watched else gettext("Access that ends soon")


def when(at: datetime, zone: str) -> str:
    """Return an instant as a zone's clocks show it, in the reader's language."""
    return date_format(at.astimezone(ZoneInfo(zone)), "l j F Y, H:i")
