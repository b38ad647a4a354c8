"""Where an alert stands and what was done about it so far, in words."""

from collections.abc import Sequence
from datetime import datetime

from django.utils.translation import gettext

from scoring.pages import labels
from scoring.queries import wording
from scoring.queries.alert_acts import Act
from scoring.queries.alerts import AlertCard
from scoring.rules import ladder
from yards.rules import bidi

Line = dict[str, str]


def stands(card: AlertCard) -> list[str]:
    """Return what will happen by itself, in whole sentences; the card says what has."""
    found = []
    at = labels.at(card.next_at, card.time_zone) if card.next_at is not None else ""
    if at and card.state == ladder.OPEN:
        said = gettext("If nobody answers, it is told again on {at}.")
        found.append(said.format(at=at))
    if at and card.state == ladder.SNOOZED:
        who = bidi.isolated(card.snoozed_by.name) if card.snoozed_by else gettext("automatic")
        said = gettext("Put off until {at} by {who}: {reason} Then people are told again.")
        reason = card.snooze_reason.rstrip(".") + "."
        found.append(said.format(at=at, who=who, reason=reason))
    return found


def lines(card: AlertCard, acts: Sequence[Act]) -> list[Line]:
    """Return what happened to an alert so far, oldest first."""
    nobody = gettext("automatic")
    opened = gettext("Opened by the rule “{rule}”.").format(rule=wording.title(card.rule))
    found = [(card.opened_at, opened, nobody)]
    found += [(each.at, _said(each, card), each.by.name if each.by else nobody) for each in acts]
    kinds = {each.kind for each in acts}
    found += [line for kind, line in _columns(card) if kind not in kinds]
    found.sort(key=lambda line: line[0])
    return [
        {"at_label": labels.at(at, card.time_zone), "text": text, "who": who}
        for at, text, who in found
    ]


def _columns(card: AlertCard) -> list[tuple[str, tuple[datetime, str, str]]]:
    """Return what the alert's own row tells, for what was done before acts were kept."""
    nobody, found = gettext("automatic"), []
    if card.acknowledged_at is not None:
        who = card.acknowledged_by.name if card.acknowledged_by else nobody
        text = gettext("Acknowledged: {step}").format(step=card.next_step)
        found.append(("acknowledged", (card.acknowledged_at, text, who)))
    if card.resolved_at is not None:
        who = card.resolved_by.name if card.resolved_by else nobody
        found.append(("resolved", (card.resolved_at, gettext("Resolved."), who)))
    return found


def _said(act: Act, card: AlertCard) -> str:
    due = labels.at(act.due_at, card.time_zone) if act.due_at is not None else ""
    about = bidi.isolated(act.about.name) if act.about is not None else ""
    said = {
        "told": gettext("Nobody answered in time: told again."),
        "exhausted": gettext("Everybody has been told, and nobody answered: told again."),
        "acknowledged": gettext("Acknowledged: {text} By {due}."),
        "assigned": gettext("Made {about}'s."),
        "commented": "{text}",
        "snoozed": gettext("Put off until {due}: {text}"),
        "snooze_ended": gettext("The rest is over: told again."),
        "reopened": gettext("Nothing followed in time: told again."),
        "resolved": gettext("Resolved: {text}"),
    }[act.kind]
    if act.kind == "told" and act.number == 0:
        said = gettext("Told in the morning, or when the quiet hours ended.")
    return said.format(text=act.text, due=due, about=about)
