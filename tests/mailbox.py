"""A real SMTP server in the test process that keeps what it takes, and can be told to refuse."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from email import message_from_bytes, policy
from email.message import EmailMessage
from socket import socket
from threading import Lock
from typing import Any, cast

from aiosmtpd.controller import Controller
from aiosmtpd.smtp import SMTP, Envelope, Session
from django.conf import settings

Answer = Callable[[EmailMessage], str]
TAKEN = "250 Taken"
HANG_UP = ""  # takes the message and breaks off before it says so


def take(_message: EmailMessage) -> str:
    """Take every message."""
    return TAKEN


class Mailbox:
    """Messages taken, in the order of arrival. ``answer`` says what is replied to each."""

    def __init__(self) -> None:
        self.taken: list[EmailMessage] = []
        self.offered: list[EmailMessage] = []
        self.answer: Answer = take
        self._lock = Lock()

    async def handle_DATA(self, server: SMTP, _session: Session, envelope: Envelope) -> str:
        message = message_from_bytes(cast(bytes, envelope.content), policy=policy.default)
        with self._lock:
            self.offered.append(message)
            reply = self.answer(message)
            if reply == HANG_UP or reply.startswith("250"):
                self.taken.append(message)
        if reply == HANG_UP:
            cast(Any, server.transport).abort()
        return reply

    def to(self, email: str) -> list[EmailMessage]:
        """Return what one person got."""
        return [each for each in self.taken if email in str(each["To"])]

    def subjects(self) -> list[str]:
        """Return the subjects taken, sorted."""
        return sorted(str(each["Subject"]) for each in self.taken)


def text_of(message: EmailMessage, kind: str = "plain") -> str:
    """Return the plain text, or the HTML, of a message."""
    part = message.get_body((kind,))
    assert part is not None
    return str(part.get_content())


class _Server(Controller):
    """A server on whatever port is free; its own first call then goes to that port."""

    def _trigger_server(self) -> None:
        self.port = cast(Any, self.server).sockets[0].getsockname()[1]
        super()._trigger_server()  # type: ignore[no-untyped-call]


@contextmanager
def opened() -> Iterator[Mailbox]:
    """Run a server on a free port and point Django at it, over real SMTP."""
    box = Mailbox()
    server = _Server(box, hostname="127.0.0.1", port=0)
    server.start()
    before = {
        name: getattr(settings, name) for name in ("EMAIL_BACKEND", "EMAIL_HOST", "EMAIL_PORT")
    }
    settings.EMAIL_BACKEND = "django.core.mail.backends.smtp.EmailBackend"
    settings.EMAIL_HOST, settings.EMAIL_PORT = "127.0.0.1", server.port
    try:
        yield box
    finally:
        for name, value in before.items():
            setattr(settings, name, value)
        server.stop()


@contextmanager
def nobody_there() -> Iterator[None]:
    """Point Django at a port that nobody listens at."""
    with socket() as held:
        held.bind(("127.0.0.1", 0))
        before = settings.EMAIL_PORT
        settings.EMAIL_PORT = held.getsockname()[1]
        try:
            yield
        finally:
            settings.EMAIL_PORT = before
