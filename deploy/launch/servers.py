"""PostgreSQL, Valkey and SMTP together, for as long as a ``with`` block lasts.

>>> with servers.running(Path(folder), safe=False, createdb=True) as up:
...     os.environ.update(up.environ)

``up.environ`` holds DATABASE_URL (the runtime role), DATABASE_OWNER_URL, DATABASE_RELAY_URL,
REDIS_URL, EMAIL_URL, SECRET_KEY and HALFPOINT_DATA; ``up.mail`` is the folder in which each message
becomes an ``.eml`` file. The database is empty: migrate with HALFPOINT_ROLE=owner.
"""

import os
import shutil
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path

from deploy.launch import folder as folders
from deploy.launch import mode as modes
from deploy.launch import postgres, programs, valkey
from deploy.launch.child import Child, left_over
from deploy.launch.trouble import Exit, Trouble, require_space, step

DATABASES = ("DATABASE_URL", "DATABASE_OWNER_URL", "DATABASE_RELAY_URL")
FIRST_NEED, LATER_NEED = 400, 100  # MiB: a new PostgreSQL with its log ahead of it; some room


@dataclass
class Servers:
    """What runs, and how to reach it."""

    folder: Path
    environ: dict[str, str]
    mail: Path
    children: dict[str, Child] = field(default_factory=dict)
    mode: modes.Mode = field(default_factory=lambda: modes.Mode("direct"))

    def stop(self) -> None:
        """Stop all, PostgreSQL last, within 12 seconds."""
        for name in ("mailbox", "valkey"):
            if name in self.children:
                self.children[name].ask()
        for name, seconds in (("mailbox", 2), ("valkey", 2), ("postgres", 8)):
            if name in self.children:
                self.children.pop(name).stop(seconds)


@contextmanager
def claimed(folder: Path) -> Iterator[Path]:
    """Take the folder for this process, and end what an earlier one left running in it.

    May be nested: whoever has it, has it.
    """
    folder = folders.open_folder(folder)
    with folders.held(folder) as first:
        if first:
            for name in left_over(folder):
                step(f"ended {name}, left over from an earlier start")
        yield folder


@contextmanager
def running(
    folder: Path,
    *,
    safe: bool = True,
    createdb: bool = False,
    own: dict[str, str] | None = None,
    mode: modes.Name | None = None,
) -> Iterator[Servers]:
    """Start the servers in ``folder``, made if need be, and stop them at the end.

    safe=False   does without fsync, for tests
    createdb     lets the owner role make further databases, for tests
    own          addresses of servers of your own, by variable: those are not started here; of a
                 database all three or none
    mode         overrides how they are kept unprivileged

    Raises Trouble with the remedy in its text.
    """
    with claimed(folder) as here:
        up = Servers(here, {}, here / "mail")
        up.environ = {
            "SECRET_KEY": folders.secrets_of(here)["secret_key"],
            "HALFPOINT_DATA": str(here),
        }
        try:
            _start(up, own or {}, safe=safe, createdb=createdb, mode=mode)
            yield up
        finally:
            up.stop()
            _forget_sockets(here)


def _start(
    up: Servers, own: dict[str, str], *, safe: bool, createdb: bool, mode: modes.Name | None
) -> None:
    given = {name: value for name, value in own.items() if value}
    databases = _all_or_none(given)
    up.environ.update(given)
    if databases and "REDIS_URL" in given:
        up.mode = modes.choose(programs.PYTHON)
    else:
        found = programs.found()
        recorded = mode or folders.recall(up.folder).get("mode")
        up.mode = modes.Mode(mode) if mode else modes.choose(found.postgres / "postgres", recorded)
        folders.note(up.folder, mode=up.mode.name)
        if up.mode.name == "nobody":
            modes.reachable(up.folder)
            up.folder.chmod(0o711)
            copies = up.folder / "programs"
            shutil.rmtree(copies, ignore_errors=True)  # of an older release
            copies.mkdir(mode=0o755)
            found = found.copied(copies)
            up.mode.give_tree(up.folder / "postgres")
        sockets = folders.sockets(up.folder)
        up.mode.give(sockets)
        if not databases:
            _postgres(up, found, sockets, safe=safe, createdb=createdb)
        if "REDIS_URL" not in given:
            _valkey(up, found, sockets)
    if "EMAIL_URL" not in given:
        _mailbox(up)


def _all_or_none(given: dict[str, str]) -> bool:
    """Return whether the database is one of your own; some of its addresses are none."""
    missing = [name for name in DATABASES if name not in given]
    if missing and len(missing) < len(DATABASES):
        raise Trouble(
            Exit.FAILED,
            f"{' and '.join(missing)} must be set too: a database of your own needs all of"
            f" {', '.join(DATABASES)}. Set none of them to have one made.",
        )
    return not missing


def _postgres(
    up: Servers, found: programs.Programs, sockets: Path, *, safe: bool, createdb: bool
) -> None:
    secrets = folders.secrets_of(up.folder)
    place = postgres.Place(found.postgres, up.folder, sockets, up.mode)
    postgres.require_same_major(place)
    if place.data.exists():
        require_space(up.folder, LATER_NEED, "the database")
    else:
        require_space(up.folder, FIRST_NEED, "a new database")
        step("making the database")
        postgres.make(place, secrets["postgres"], safe=safe)
    child = up.children["postgres"] = postgres.start(place, safe=safe)
    postgres.wait(place, child)
    postgres.make_roles(place, secrets, createdb=createdb)
    up.environ.update(
        DATABASE_URL=place.url(postgres.RUNTIME, secrets["runtime"]),
        DATABASE_OWNER_URL=place.url(postgres.OWNER, secrets["owner"]),
        DATABASE_RELAY_URL=place.url(postgres.RELAY, secrets["relay"]),
    )
    step(f"PostgreSQL {postgres.major(place)} is up ({up.mode.name})")


def _valkey(up: Servers, found: programs.Programs, sockets: Path) -> None:
    password = folders.secrets_of(up.folder)["redis"]
    child = valkey.start(found.valkey, up.folder, sockets, up.mode, password)
    up.children["valkey"] = child
    valkey.wait(child, sockets, password)
    up.environ["REDIS_URL"] = valkey.url(sockets, password)
    step("Valkey is up")


def _mailbox(up: Servers) -> None:
    ready = up.folder / "run" / "mailbox.port"
    ready.unlink(missing_ok=True)
    up.mail.mkdir(mode=0o700, exist_ok=True)
    child = up.children["mailbox"] = Child(
        "mailbox",
        [
            *(str(programs.PYTHON), "-m", "deploy.mailbox"),
            *("--dir", str(up.mail), "--ready", str(ready)),
        ],
        folder=up.folder,
        environ=dict(os.environ),
        mode=modes.for_python(up.mode, programs.PYTHON, programs.BASE / "manage.py"),
        cwd=programs.BASE,
    )
    until = time.monotonic() + 20
    while not ready.exists():
        if time.monotonic() > until or not child.alive():
            raise Trouble(Exit.CHILD_DIED, f"The mail server did not start:\n{child.tail()}")
        time.sleep(0.05)
    up.environ["EMAIL_URL"] = f"smtp://127.0.0.1:{ready.read_text().strip()}"
    step(f"mail goes to {up.mail}")


def _forget_sockets(folder: Path) -> None:
    if made := folders.recall(folder).get("sockets"):
        shutil.rmtree(made, ignore_errors=True)
