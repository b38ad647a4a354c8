"""The mail server at the other end: real SMTP, and moods that a real one has."""

import asyncio
import re
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from email.message import EmailMessage
from email.parser import BytesParser
from email.policy import default
from typing import Any, cast

from aiosmtpd.controller import Controller
from aiosmtpd.smtp import Envelope, Session

from tests.faults.history import History

TAKES, REFUSES, HANGS, DROPS = "takes", "refuses", "hangs", "drops"
HANG_S = 60.0
WORK_S = 0.03  # what a server takes to write a message down
_NAME = re.compile(r"Fault [0-9]{6}")


@dataclass(frozen=True, slots=True)
class Message:
    """One message that was taken: when, under which key, to whom, about what, which
    horses are named in it."""

    at: float
    key: str
    to: str
    subject: str
    horses: frozenset[str] = frozenset()


class Receiver:
    """Keeps what it takes; ``mood`` says how it behaves."""

    def __init__(self, history: History) -> None:
        self.taken: list[Message] = []
        self.mood = TAKES
        self.port = 0
        self._history = history
        self._server: Controller | None = None

    async def handle_DATA(self, server: Any, _session: Session, envelope: Envelope) -> str:
        """Answer as the mood is. ``drops``: takes the message and breaks off before saying so."""
        mood = self.mood
        if mood == REFUSES:
            return "451 Not now"
        if mood == HANGS:
            await asyncio.sleep(HANG_S)
            return "451 Too late"
        await asyncio.sleep(WORK_S)
        read = BytesParser(EmailMessage, policy=default).parsebytes(cast(bytes, envelope.content))
        key, to, subject = (str(read[name]) for name in ("Message-ID", "To", "Subject"))
        self._history.add("received", key=key, to=to, subject=subject, mood=mood)
        self.taken.append(Message(time.time(), key, to, subject, _named(read)))
        if mood == DROPS:
            server.transport.abort()
        return "250 Taken"

    def open(self) -> None:
        """Listen, at the port of before if there was one."""
        self._server = _Server(self, hostname="127.0.0.1", port=self.port)
        self._server.start()
        self.port = self._server.port

    def close(self) -> None:
        """Listen no more: who calls now is refused by the machine."""
        if self._server is not None:
            self._server.stop()
            self._server = None


def _named(message: EmailMessage) -> frozenset[str]:
    plain = message.get_body(("plain",))
    return frozenset(_NAME.findall(plain.get_content() if plain is not None else ""))


class _Server(Controller):
    def _trigger_server(self) -> None:
        self.port = cast(Any, self.server).sockets[0].getsockname()[1]
        super()._trigger_server()  # type: ignore[no-untyped-call]


@contextmanager
def opened(history: History) -> Iterator[Receiver]:
    """Run the server for as long as the block lasts."""
    receiver = Receiver(history)
    receiver.open()
    try:
        yield receiver
    finally:
        receiver.close()
