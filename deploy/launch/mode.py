"""How a server is kept from running as root.

direct      we are an ordinary user: nothing to do
namespace   root, in a user namespace of its own: no rights beyond root's own files
nobody      root where namespaces are forbidden: the user nobody, with the programs copied to where
            it can read them

No user is made and no existing folder's mode is changed for it.
"""

import os
import pwd
import shutil
import subprocess
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Literal

from deploy.launch.trouble import Exit, Trouble

Name = Literal["direct", "namespace", "nobody"]
NAMES: tuple[Name, ...] = ("direct", "namespace", "nobody")
_NAMESPACE = ["unshare", "--user", "--map-user=1", "--map-group=1"]


@dataclass(frozen=True)
class Mode:
    """One way to run; ``command`` and ``options`` go to subprocess."""

    name: Name

    def command(self, argv: list[str]) -> list[str]:
        """Return the command line that runs ``argv`` unprivileged."""
        return [*_NAMESPACE, *argv] if self.name == "namespace" else argv

    def options(self) -> dict[str, Any]:
        """Return further arguments for subprocess."""
        if self.name != "nobody":
            return {}
        nobody = pwd.getpwnam("nobody")
        return {"user": nobody.pw_uid, "group": nobody.pw_gid, "extra_groups": []}

    def give(self, *paths: Path) -> None:
        """Hand files that we made to the user that the servers run as."""
        if self.name == "nobody":
            nobody = pwd.getpwnam("nobody")
            for path in paths:
                os.chown(path, nobody.pw_uid, nobody.pw_gid)

    def give_tree(self, folder: Path) -> None:
        """Hand over a folder made while another mode was in force, with all that is in it."""
        if self.name == "nobody" and folder.exists() and folder.stat().st_uid == os.geteuid():
            self.give(folder, *folder.rglob("*"))


def choose(program: Path, recorded: str | None = None) -> Mode:
    """Return the mode that works here, the recorded one if it still does.

    ``program`` is one of the servers' own: what counts is whether that can be run.
    """
    if os.geteuid() != 0:
        return Mode("direct")
    namespace = Mode("namespace")
    if recorded != "nobody" and shutil.which("unshare") and _runs(namespace, program):
        return namespace
    return Mode("nobody")


def for_python(mode: Mode, python: Path, file: Path) -> Mode:
    """Return the mode for our own Python processes.

    They need the checkout, which nobody, or root without its powers over another user's files, may
    not be able to read; then they run as whoever started them.
    """
    reads = mode.command([str(python), "-c", f"open({str(file)!r}).close()"])
    if mode.name == "namespace" and _succeeds(reads):
        return mode
    return Mode("direct")


def _runs(mode: Mode, program: Path) -> bool:
    return _succeeds(mode.command([str(program), "--version"]))


def _succeeds(argv: list[str]) -> bool:
    return subprocess.run(argv, capture_output=True, check=False, cwd="/").returncode == 0


def reachable(folder: Path) -> None:
    """Raise Trouble if the user nobody cannot get to ``folder``; never opens the way itself."""
    for parent in folder.resolve().parents:
        if not parent.stat().st_mode & 0o001:
            raise Trouble(
                Exit.NOT_OURS,
                f"The servers cannot run as root, user namespaces are not allowed here, and the "
                f"user nobody cannot enter {parent}.\n"
                "Name a folder that every user can reach, such as --data /var/lib/halfpoint.",
            )
