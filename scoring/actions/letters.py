"""Puts a notice into words for one reader: as things stand now, in their language.

Everything shown is read as that reader, so a letter never tells what a page would refuse.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from email.utils import formataddr
from typing import Any
from uuid import UUID

from django.conf import settings
from django.core.mail import EmailMultiAlternatives
from django.template import loader
from django.utils import translation
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from scoring.actions import ending_letter, glass_letter, rehearsal
from scoring.queries import alerts, questions, recipients, reminders, summary, wording
from scoring.rules import due, ladder, risk_fat
from scoring.rules.policy import HEARERS
from yards.actions import post
from yards.models import User
from yards.queries import tastes
from yards.rules import errors
from yards.rules.roles import Verb, Viewer, may


@dataclass(frozen=True, slots=True)
class Order:
    """What a notice's row asks to be written."""

    kind: str
    person: UUID
    message_id: str
    alert: UUID | None = None
    params: Mapping[str, Any] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Told:
    """One alert in words."""

    card: alerts.AlertCard
    title: str
    haste: str
    found: str
    evidence: Sequence[str]
    advice: str
    what_not_to_do: str
    read_by: str
    not_known: Sequence[str]
    opened: str
    taken: str
    link: str


def compose(reader: Viewer, order: Order, *, now: datetime) -> EmailMultiAlternatives | None:
    """Return the message, or None when it is no longer the reader's to get, or says nothing now."""
    if rehearsal.REHEARSED in order.params:
        return rehearsal.letter(order.message_id, order.params[rehearsal.REHEARSED])
    user = User.objects.get(id=order.person)
    with tastes.of(tastes.of_person(user)):
        if order.kind == recipients.REMINDER:
            written = _reminder(reader, now)
        elif order.kind == recipients.QUESTION:
            written = _question(reader, order)
        elif order.kind == recipients.GLASS:
            written = glass_letter.written(reader, order.params)
        elif order.kind == recipients.ENDING:
            written = ending_letter.written(reader, order.params, now)
        else:
            written = _alerts(reader, order)
        if written is None:
            return None
        subject, template, context = written
        return _message(user, order, subject, template, context)


def _alerts(reader: Viewer, order: Order) -> tuple[str, str, dict[str, Any]] | None:
    refs = order.params.get("alerts") or [str(order.alert)]
    cards = [each for each in alerts.get_alerts(reader, refs) if _is_wanted(reader, order, each)]
    if not cards:
        return None
    cards.sort(key=lambda card: -ladder.rank(card.severity))
    places = {card.yard: card for card in cards}
    readers = alerts.read_by(reader, [card.id for card in cards])
    context = {
        "escalated": order.kind == recipients.ESCALATION,
        # What a morning finds goes together too, and is not always spring's.
        "season": order.kind == recipients.SEASON
        and all(card.rule == risk_fat.FAT_IN_SPRING for card in cards),
        "since": summary.when(max(_waiting_since(card) for card in cards), cards[0].time_zone),
        "places": [
            {
                "yard_name": place.yard_name,
                "vet": place.vet,
                "alerts": [_told(card, readers) for card in cards if card.yard == place.yard],
            }
            for place in places.values()
        ],
        "count": len(cards),
        "spent": any(card.exhausted_at is not None for card in cards),
    }
    return _subject(order.kind, cards), "alert", context


def _waiting_since(card: alerts.AlertCard) -> datetime:
    """Return since when the alert waits for an answer: opened, or open again."""
    times = [card.opened_at, card.next_step_by, card.snoozed_until]
    limit = card.escalated_at or card.seen_at
    return max(at for at in times if at is not None and (at <= limit or at == card.opened_at))


def _is_wanted(reader: Viewer, order: Order, card: alerts.AlertCard) -> bool:
    """Return whether the alert is still to be told, and to somebody who may answer."""
    states = {"open"} if order.kind == recipients.ESCALATION else {"open", "acknowledged"}
    may_hear = may(reader, Verb.ANSWER_ALERTS)
    return may_hear and reader.role in order.params.get("roles", HEARERS) and card.state in states


def _subject(kind: str, cards: Sequence[alerts.AlertCard]) -> str:
    first = cards[0]
    haste = wording.haste(first.severity)
    if kind == recipients.ESCALATION:
        haste = _("Call the vet")
    if len(cards) == 1:
        what = _("{haste}: {horse}, {yard}: {title}")
        return what.format(
            haste=haste,
            horse=first.horse_name,
            yard=first.yard_name,
            title=wording.title(first.rule),
        )
    if len({card.horse for card in cards}) == 1:
        more = ngettext(
            "{haste}: {horse}, {yard}: {title}, and {n} more",
            "{haste}: {horse}, {yard}: {title}, and {n} more",
            len(cards) - 1,
        )
        return more.format(
            haste=haste,
            horse=first.horse_name,
            yard=first.yard_name,
            title=wording.title(first.rule),
            n=len(cards) - 1,
        )
    many = ngettext("{haste}: {n} alert at {yard}", "{haste}: {n} alerts at {yard}", len(cards))
    yards = len({card.yard for card in cards})
    if yards > 1:
        many = _("{haste}: {n} alerts at {yards} yards")
    return many.format(haste=haste, n=len(cards), yard=first.yard_name, yards=yards)


def _told(card: alerts.AlertCard, readers: Mapping[UUID, alerts.Reader]) -> Told:
    read = readers.get(card.id)
    words = wording.finding(card.said)
    return Told(
        card=card,
        title=wording.title(card.rule),
        haste=wording.haste(card.severity),
        found=words.reason,
        evidence=words.evidence,
        advice=words.advice,
        what_not_to_do=words.what_not_to_do,
        read_by=wording.read_by(read.name, summary.when(read.at, card.time_zone), read.manner)
        if read is not None
        else "",
        not_known=wording.not_known(card.rule),
        opened=summary.when(card.opened_at, card.time_zone),
        taken=_taken(card),
        link=f"{settings.SITE_URL}/alerts/{card.id}/",
    )


def _taken(card: alerts.AlertCard) -> str:
    """Return who took the alert on and what was to follow, or what did not."""
    if card.next_step_by is None or card.acknowledged_by is None:
        return ""
    facts = {
        "who": card.acknowledged_by.name,
        "step": card.next_step,
        "by": summary.when(card.next_step_by, card.time_zone),
    }
    if card.state == "acknowledged":
        return _("Acknowledged by {who}. Next step: {step}, by {by}.").format(**facts)
    return _(
        "{who} took this on: {step}, by {by}. No reading or visit has been recorded since."
    ).format(**facts)


def _reminder(reader: Viewer, now: datetime) -> tuple[str, str, dict[str, Any]] | None:
    if reader.role not in recipients.TOLD[recipients.REMINDER]:
        return None
    unanswered = alerts.list_unanswered(reader)
    due_now = reminders.due_now(reader, now=now)
    watched = alerts.list_watched(reader)
    readers = alerts.read_by(reader, [card.id for card in watched])
    names = {card.yard: card.yard_name for card in (*unanswered, *watched)}
    names |= {place.yard: place.yard_name for place in due_now}
    ends = ending_letter.lines(reader, now)
    if not names and ends is None:
        return None
    items = {place.yard: place.items for place in due_now}
    places = [
        {
            "yard_name": name,
            "open": [summary.line(card, now) for card in unanswered if card.yard == yard],
            "overdue": _lines(items.get(yard, []), due.OVERDUE),
            "due": _lines(items.get(yard, []), due.DUE),
            "watch": [_told(card, readers) for card in watched if card.yard == yard],
        }
        for yard, name in sorted(names.items(), key=lambda each: each[1].casefold())
    ]
    n = len({item.horse for place in due_now for item in place.items})
    subject = summary.subject(len(unanswered), n, len(watched))
    return subject, "reminder", {"places": places, "ends": ends}


def _question(reader: Viewer, order: Order) -> tuple[str, str, dict[str, Any]] | None:
    """Say that a question waits, never its words: mail goes through many hands."""
    if reader.role not in recipients.TOLD[recipients.QUESTION]:
        return None
    try:
        asked = questions.get_question(reader, UUID(order.params["question"]))
    except errors.Refused:
        return None
    if asked.end is not None:
        return None
    facts = {"horse": asked.horse_name, "yard": asked.yard_name}
    context = {
        **facts,
        "who": asked.asked_by.name,
        "link": f"{settings.SITE_URL}/questions/{asked.id}/answer/",
    }
    return _("A question about {horse}, {yard}").format(**facts), "question", context


def _lines(items: Sequence[reminders.Item], state: str) -> list[str]:
    return [
        wording.due_line(item.horse_name, item.what, item.on)
        for item in items
        if item.state == state
    ]


def _message(
    user: User, order: Order, subject: str, template: str, context: dict[str, Any]
) -> EmailMultiAlternatives:
    is_repeat = bool(order.params.get("possible_repeat"))
    shared = {
        **context,
        "subject": subject,
        "name": user.name,
        "site": settings.SITE_URL,
        "possible_repeat": is_repeat,
        "language": translation.get_language(),
    }
    headers = {
        "Message-ID": order.message_id,
        "Auto-Submitted": "auto-generated",
        "Content-Language": str(translation.get_language()),
    }
    if is_repeat:
        headers["Halfpoint-Possible-Repeat"] = "yes"
    message = post.Unfolded(
        subject=post.line(subject),
        body=loader.render_to_string(f"scoring/mail/{template}.txt", shared),
        to=[formataddr((post.line(user.name), user.email))],
        headers=headers,
    )
    message.attach_alternative(
        loader.render_to_string(f"scoring/mail/{template}.html", shared), "text/html"
    )
    return message
