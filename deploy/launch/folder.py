"""The data folder: one user, one start at a time, its secrets and what is remembered of it."""

import fcntl
import json
import os
import secrets
import shutil
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from deploy.launch.trouble import Exit, Trouble

SECRETS = ("postgres", "owner", "runtime", "relay", "redis", "secret_key")
SOCKET_LIMIT = 90  # bytes for the folder: the system allows about 107 for the whole socket path


def open_folder(folder: Path) -> Path:
    """Make the folder for us alone, or take it as it is; refuse one that another user owns."""
    folder = folder.absolute()
    try:
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    except OSError as error:
        raise Trouble(Exit.NOT_OURS, f"The folder {folder} cannot be made: {error}") from error
    owner = folder.stat().st_uid
    if owner != os.geteuid():
        raise Trouble(
            Exit.NOT_OURS,
            f"The folder {folder} belongs to user number {owner}, and you are {os.geteuid()}.\n"
            "Start as the user that made it, or name another folder with --data DIR.",
        )
    return folder


_held: set[Path] = set()


@contextmanager
def held(folder: Path) -> Iterator[bool]:
    """Hold the folder against a second start; the system lets go when we end, however we end.

    Yields whether this is the outermost hold of this process.
    """
    if folder in _held:
        yield False
        return
    with (folder / "lock").open("a+") as lock:
        try:
            fcntl.flock(lock, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except OSError as error:
            lock.seek(0)
            raise Trouble(
                Exit.IN_USE,
                f"Halfpoint is already running on {folder} (process {lock.read().strip()}).\n"
                "Stop it first, or name another folder with --data DIR.",
            ) from error
        lock.seek(0)
        lock.truncate()
        lock.write(f"{os.getpid()}\n")
        lock.flush()
        _held.add(folder)
        try:
            yield True
        finally:
            _held.remove(folder)


def write_private(path: Path, text: str) -> None:
    """Write a file that only we can read, whole or not at all."""
    making = path.with_name(path.name + ".making")
    making.unlink(missing_ok=True)
    handle = os.open(making, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    with os.fdopen(handle, "w") as file:
        file.write(text)
        file.flush()
        os.fsync(file.fileno())
    making.replace(path)


def secrets_of(folder: Path) -> dict[str, str]:
    """Return the folder's passwords and key, made at its first start."""
    path = folder / "secrets"
    kept: dict[str, str] = json.loads(path.read_text()) if path.exists() else {}
    if missing := [name for name in SECRETS if name not in kept]:
        kept.update({name: secrets.token_urlsafe(48) for name in missing})
        write_private(path, json.dumps(kept, indent=1))
    return kept


def recall(folder: Path) -> dict[str, Any]:
    """Return what was noted of this folder by ``note``."""
    path = folder / "state.json"
    kept: dict[str, Any] = json.loads(path.read_text()) if path.exists() else {}
    return kept


def note(folder: Path, **facts: Any) -> None:
    """Remember facts of this folder for the next start."""
    write_private(folder / "state.json", json.dumps({**recall(folder), **facts}, indent=1))


def sockets(folder: Path) -> Path:
    """Return a new short private folder for Unix sockets, outside ``folder``, and note it.

    One that an earlier start left behind is removed.
    """
    old = recall(folder).get("sockets")
    if old and Path(old).name.startswith("halfpoint-"):
        shutil.rmtree(old, ignore_errors=True)
    root = tempfile.gettempdir()
    if len(os.fsencode(root)) + len("/halfpoint-xxxxxxxx") > SOCKET_LIMIT:
        root = "/tmp"  # noqa: S108 - made by mkdtemp, mode 0700
    made = Path(tempfile.mkdtemp(prefix="halfpoint-", dir=root))
    note(folder, sockets=str(made))
    return made
