"""Valkey of our own: on a Unix socket only, with a password, keeping nothing on disk."""

import os
import socket
import time
from pathlib import Path

from deploy.launch.child import Child
from deploy.launch.mode import Mode
from deploy.launch.trouble import Exit, Trouble


def path(sockets: Path) -> Path:
    """Return the socket."""
    return sockets / "valkey.sock"


def url(sockets: Path, password: str) -> str:
    """Return the address as the client library reads it."""
    return f"unix://:{password}@{path(sockets)}?db=0"


def start(program: Path, folder: Path, sockets: Path, mode: Mode, password: str) -> Child:
    """Start the server; the password goes in by its standard input, where no list shows it."""
    home = folder / "valkey"
    home.mkdir(mode=0o700, exist_ok=True)
    mode.give(home)
    lines = [
        "port 0",
        f"unixsocket {path(sockets)}",
        "unixsocketperm 700",
        'save ""',
        "appendonly no",
        f"dir {home}",
        "daemonize no",
        f"requirepass {password}",
    ]
    return Child(
        "valkey",
        [str(program), "-"],
        folder=folder,
        environ=dict(os.environ),
        mode=mode,
        cwd=Path("/"),
        feed="\n".join(lines).encode(),
    )


def wait(child: Child, sockets: Path, password: str, seconds: float = 20) -> None:
    """Return when the server answers; raise Trouble if it dies or takes too long."""
    until = time.monotonic() + seconds
    while time.monotonic() < until and child.alive():
        if _answers(path(sockets), password):
            return
        time.sleep(0.02)
    said = child.tail()
    child.kill()
    raise Trouble(Exit.CHILD_DIED, f"Valkey did not start; the end of {child.log}:\n{said}")


def _answers(where: Path, password: str) -> bool:
    try:
        with socket.socket(socket.AF_UNIX) as asked:
            asked.settimeout(1)
            asked.connect(str(where))
            asked.sendall(f"AUTH {password}\r\nPING\r\n".encode())
            said = b""
            while b"PONG" not in said:
                more = asked.recv(256)
                if not more or more.startswith(b"-"):
                    return False
                said += more
            return True
    except OSError:
        return False
