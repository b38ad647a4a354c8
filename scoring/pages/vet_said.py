"""A vet's word beside an alert: who, when, what, and the next step that it may be taken as.

It acknowledges nothing by itself: an answer may be of something else, and an acknowledgement names
who does what by when. So the alert stays as loud as it is, shows the word, and offers it.
"""

from datetime import datetime
from zoneinfo import ZoneInfo

from django.utils.formats import date_format
from django.utils.text import Truncator
from django.utils.translation import gettext

from scoring.pages import order_words
from scoring.queries.vet_words import Word
from scoring.rules import alert_answer
from yards.pages import words
from yards.rules import bidi


def sentence(word: Word, zone: str) -> str:
    """Return what a vet said, with name and time."""
    if word.order is not None:
        told = gettext("{who} gave an order on {at}: {what}, until {until}.")
        return told.format(
            who=bidi.isolated(word.by),
            at=_at(word.at, zone),
            what=order_words.what(word.order),
            until=words.day(word.order.ends_at, zone),
        )
    told = gettext("{who} answered on {at}: “{answer}” Asked was: “{question}”")
    return told.format(
        who=bidi.isolated(word.by),
        at=_at(word.at, zone),
        answer=bidi.isolated(word.answer),
        question=bidi.isolated(word.question),
    )


def step(word: Word) -> str:
    """Return it as the next step of an acknowledgement, cut to what that may hold."""
    said = word.answer if word.order is None else order_words.what(word.order)
    told = gettext("As {who} said: {what}").format(who=word.by, what=" ".join(said.split()))
    return Truncator(told).chars(alert_answer.STEP)


def _at(at: datetime, zone: str) -> str:
    return date_format(at.astimezone(ZoneInfo(zone)), "j M, H:i")
