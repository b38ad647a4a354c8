"""A real SMTP server for one machine: each message it takes becomes one ``.eml`` file.

Run as ``python -m deploy.mailbox --dir DIR --ready FILE``. It listens on a free port of 127.0.0.1
and writes the number to FILE. It sends nothing on.
"""

import argparse
import asyncio
import os
import signal
import time
from itertools import count
from pathlib import Path

from aiosmtpd.smtp import SMTP, Envelope, Session

LARGEST = 10 * 1024 * 1024


class Folder:
    """Keeps what comes in."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self._numbers = count()

    async def handle_DATA(  # noqa: N802 - the library's name
        self, _server: SMTP, _session: Session, envelope: Envelope
    ) -> str:
        """Write the message whole, then give it its name; only then say that we have it."""
        content = envelope.content
        if not isinstance(content, bytes):
            return "451 not read"
        name = f"{time.time_ns():020d}-{os.getpid()}-{next(self._numbers)}"
        making = self.folder / f".{name}.making"
        try:
            with making.open("xb") as file:
                file.write(content)
                file.flush()
                os.fsync(file.fileno())
            making.rename(self.folder / f"{name}.eml")
        except OSError:
            making.unlink(missing_ok=True)
            return "452 no room"
        return "250 kept"


async def serve(folder: Path, ready: Path) -> None:
    """Serve until TERM."""
    keeper = Folder(folder)
    loop = asyncio.get_running_loop()

    def talk() -> SMTP:
        return SMTP(keeper, hostname="localhost", data_size_limit=LARGEST, enable_SMTPUTF8=True)

    server = await loop.create_server(talk, "127.0.0.1", 0)
    port = server.sockets[0].getsockname()[1]
    making = ready.with_name(ready.name + ".making")
    making.write_text(f"{port}\n")
    making.rename(ready)
    stop = asyncio.Event()
    for sign in (signal.SIGTERM, signal.SIGINT):
        loop.add_signal_handler(sign, stop.set)
    await stop.wait()
    server.close()


def main() -> None:
    """Read the arguments and serve."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--dir", type=Path, required=True)
    parser.add_argument("--ready", type=Path, required=True)
    given = parser.parse_args()
    os.umask(0o077)
    given.dir.mkdir(parents=True, exist_ok=True)
    asyncio.run(serve(given.dir, given.ready))


if __name__ == "__main__":
    main()
