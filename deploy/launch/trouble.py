"""What can go wrong in setting up, each with an exit code of its own and the remedy in words."""

import errno
import shutil
from enum import IntEnum
from pathlib import Path

MIB = 1024 * 1024


class Exit(IntEnum):
    """Exit codes of ``deploy/start`` and ``deploy/test``."""

    FAILED = 1
    OLD_PYTHON = 10
    NO_VENV = 11
    PORT_TAKEN = 12
    DISK_FULL = 13
    OTHER_MAJOR = 14
    NO_WHEEL = 15
    IN_USE = 16
    NOT_INSTALLED = 17
    CHILD_DIED = 18
    NOT_OURS = 19


class Trouble(Exception):
    """A step that cannot go on; the text says why and what to do."""

    def __init__(self, code: Exit, text: str) -> None:
        super().__init__(text)
        self.code = code


OWN_SERVERS = (
    "To use servers of your own instead, set DATABASE_URL, DATABASE_OWNER_URL, "
    "DATABASE_RELAY_URL and REDIS_URL (see DEVELOPERS.md), and start again."
)


def require_space(folder: Path, mebibytes: int, use: str) -> None:
    """Raise Trouble unless the disk under ``folder`` has that much free."""
    here = folder
    while not here.exists():
        here = here.parent
    free = shutil.disk_usage(here).free // MIB
    if free < mebibytes:
        raise disk_full(here, f"{use} needs {mebibytes} MiB and {free} MiB are free")


def disk_full(where: Path, fact: str) -> Trouble:
    """Return the trouble of a full disk."""
    return Trouble(
        Exit.DISK_FULL,
        f"The disk is full: {fact} under {where}.\n"
        "Make room, or name a folder on another disk with --data DIR.",
    )


def is_disk_full(error: OSError | str) -> bool:
    """Say whether an error, or a program's output, speaks of a full disk."""
    if isinstance(error, OSError):
        return error.errno in {errno.ENOSPC, errno.EDQUOT}
    return "No space left on device" in error or "Disk quota exceeded" in error


def step(text: str) -> None:
    """Print one line for one step, at once."""
    print(f"- {text}", flush=True)
