"""A synthetic reading through the whole path, so that a broken one is noticed without an accident.

In two halves that leave nothing behind. The first makes a yard, a horse and an alarming reading by
the real actions, sees that an alert and a message came of it, and rolls all of it back. The second
is one message that lies in the outbox for ever and is made due again at each rehearsal: it is found
by the relay, claimed, put into words, and brought to the mail server like any other.

Both are of an organisation of their own, with one person who cannot sign in and whom nobody else
can see: it is behind the wall like any other, so it is in nobody's lists, counts or statistics.
Opens its own transactions: called by the watch alone.
"""

from dataclasses import replace
from datetime import datetime, timedelta
from uuid import UUID

from django.conf import settings
from django.core.mail import EmailMultiAlternatives
from django.db import transaction
from django.db.models import Q
from django.utils.translation import gettext as _

from scoring.actions import assessments, notices
from scoring.models import Notice
from yards import isolation
from yards.access import viewers
from yards.actions import horses, organisations, yards
from yards.models import User
from yards.rules import errors
from yards.rules.roles import Role, Viewer

ORGANISATION = UUID("0193a5a0-0000-7000-8000-7761746368aa")
NAME = "Rehearsals of the watch"
# No such address can be (RFC 2606): nobody is ever found, or signed in, by it.
ADDRESS = "watch@halfpoint.invalid"
REHEARSED = "rehearsed"
_ALARMING = {"neck_and_shoulder": "0.5", "back_and_ribs": "0.5", "hindquarters": "0.5"}


class NoAlert(RuntimeError):
    """An alarming reading came to no alert, or to no message."""


def rehearse(*, now: datetime) -> None:
    """Go through the whole path once. Raises NoAlert, or whatever stands in the way."""
    system = Viewer(organisation=ORGANISATION, role=Role.SYSTEM, via="task")
    person = _person(system, now)
    try:
        viewer = viewers.viewer_of_person(person, now, organisation=ORGANISATION)
    except errors.NotSignedIn as error:
        raise NoAlert("the rehearsal's own person is shut out") from error
    with isolation.of(replace(viewer, via="task")):
        _read(viewer, now)
        transaction.set_rollback(True)
    with isolation.of(system):
        _make_due(system, person, now)


def _person(system: Viewer, now: datetime) -> UUID:
    """Return the one person of the rehearsal, made with the organisation at the first one."""
    found = User.objects.filter(email=ADDRESS).values_list("id", flat=True).first()
    if found is not None:
        return found
    with isolation.of(system):
        made = organisations.make_organisation(
            system, name=NAME, email=ADDRESS, coordinator=NAME, now=now - timedelta(minutes=1)
        )
    return made.coordinator


def _read(viewer: Viewer, now: datetime) -> None:
    yard = yards.make_yard(
        viewer,
        {"name": NAME, "time_zone": "Europe/London", "hemisphere": "north"},
        now=now,
    )
    horse = horses.register_horse(
        viewer,
        {
            "name": NAME,
            "species": "horse",
            "sex": "gelding",
            "use": "leisure",
            "yard": str(yard.ref),
        },
        now=now,
    )
    raw = {
        "horse": str(horse.ref),
        "taken_at": now.isoformat(),
        "scale": "five",
        "manner": "palpated",
        "regions": _ALARMING,
    }
    answer = assessments.record_assessment(viewer, raw, now=now)
    if not answer.alerts:
        raise NoAlert("an alarming reading came to no alert")
    told = Notice.objects.filter(kind=notices.ALERT, due_at__lte=now, created_at=now)
    if not told.exists():
        raise NoAlert("an alert came to no message")


def _make_due(system: Viewer, person: UUID, now: datetime) -> None:
    stamp = {REHEARSED: f"{now:%Y%m%dT%H%M%S}"}
    about = notices.Message(notices.REMINDER, person, now, ("rehearsal",), params=stamp)
    notices.write(system, [about], now=now)
    # One that is under way is left alone; one that failed need not wait out its pause.
    under_way = Q(state=notices.ATTEMPTING, attempted_at__gt=now - timedelta(minutes=1))
    Notice.objects.filter(key=about.key).exclude(under_way).update(
        state=notices.PENDING, due_at=now, attempts=0, params=stamp
    )
    notices.wake()


def letter(message_id: str, stamp: str) -> EmailMultiAlternatives:
    """Return the rehearsed message: to the operator's address, or to nobody.

    To nobody, the line to the mail server is opened, greeted and signed in to, and nothing is sent.
    """
    key, at, host = message_id.partition("@")
    return EmailMultiAlternatives(
        subject=_("Rehearsal: messages about alerts go out"),
        body=_("The watch sends this to see that mail goes out. No horse is concerned."),
        to=[settings.WATCH_MAIL_TO] if settings.WATCH_MAIL_TO else [],
        headers={"Message-ID": f"{key}.{stamp}{at}{host}", "Auto-Submitted": "auto-generated"},
    )
