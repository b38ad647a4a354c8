"""The line to the mail server, and how long to wait after it said no: shared by all that send."""

import smtplib
import socket
import time
from contextlib import suppress
from datetime import datetime, timedelta
from email import policy
from typing import Any, Self

from django.core import mail
from django.core.mail import EmailMessage, EmailMultiAlternatives

# How long a claimed row is left alone. After a crash its message waits so long; a server that takes
# longer over one may be handed it twice, under the same Message-ID.
LEASE = timedelta(seconds=20)
FIRST_WAIT = timedelta(seconds=5)
LONGEST_WAIT = timedelta(hours=1)
# About two days of tries; then the message counts as failed.
TRIES = 50

# The server answered: it is there.
ANSWERED = (
    smtplib.SMTPResponseException,
    smtplib.SMTPRecipientsRefused,
    smtplib.SMTPNotSupportedError,
)
# The server answered no, or was never reached: the message surely did not go.
REFUSED = (
    *ANSWERED,
    ConnectionRefusedError,
    socket.gaierror,
)

# Exceptions that are no fault of a row but the end of the whole run: a task's time is up.
Ends = tuple[type[Exception], ...]


class Clock:
    """The instant that the task was given, running on while the work takes its time."""

    def __init__(self, now: datetime) -> None:
        self._began = now
        self._mark = time.monotonic()

    def now(self) -> datetime:
        """Return the instant."""
        return self._began + timedelta(seconds=time.monotonic() - self._mark)


class Post:
    """One line to the mail server, opened when first needed.

    ``is_down`` once it could not be opened, or broke: whoever is next would wait for the same.
    """

    def __init__(self) -> None:
        self._line = mail.get_connection()
        self.is_down = False

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_exc: object) -> None:
        self.hang_up()

    def send(self, message: EmailMessage) -> None:
        """Hand one message to the server; returns only when the server has taken it."""
        self.is_down = True
        self._line.open()
        self.is_down = False
        try:
            self._line.send_messages([message])
        except OSError as error:  # smtplib's are too
            self.is_down = not isinstance(error, ANSWERED)
            raise

    def hang_up(self) -> None:
        """Close the line, however it stands."""
        with suppress(smtplib.SMTPException, OSError):
            self._line.close()


class Unfolded(EmailMultiAlternatives):
    """A message whose header lines are not folded: a folded Message-ID is misread by some."""

    def message(self, **how: Any) -> Any:
        """Return the message with room for a whole line (RFC 5322, 2.1.1: 998 characters)."""
        made: Any = super().message(**how)
        made.policy = policy.compat32.clone(max_line_length=998)
        return made


def wait_after(attempt: int, longest: timedelta = LONGEST_WAIT) -> timedelta:
    """Return how long to wait after a failed attempt (from 1): doubling, up to a longest wait."""
    doublings = max(0, min(attempt - 1, 20))
    return min(FIRST_WAIT * (1 << doublings), longest)


def line(text: str) -> str:
    """Return text fit for a header: one line, no control characters."""
    shown = "".join(each if each.isprintable() else " " for each in text)
    return " ".join(shown.split())
