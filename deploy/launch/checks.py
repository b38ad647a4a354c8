"""``deploy/test``: every check and test, on servers of its own in a folder that is then removed.

Always its own, whatever DATABASE_URL says: a test must never reach data that somebody keeps. With
arguments, only pytest runs, with those arguments.
"""

import contextlib
import os
import shutil
import signal
import subprocess
import tempfile
import time
from pathlib import Path

from deploy.launch import bootstrap, child, runner, servers, start
from deploy.launch.programs import BASE, PYTHON
from deploy.launch.trouble import Exit, Trouble, step

SHELL = "chromium-headless-shell"
BROWSERS = (SHELL, "chromium", "chromium-browser", "google-chrome")
PATIENCE = 180  # seconds, for Debian's archive
MEMORY = "/dev/shm"  # noqa: S108 - made there by mkdtemp, mode 0700
MEMORY_NEEDED = 2 * 2**30
INSTALL_BROWSER = f"apt-get install -y --no-install-recommends {SHELL}"
# Four, since tests wait for servers, browsers and mail; whoever is done takes of the others' rest.
SPREAD = ("-n", "4", "--dist", "worksteal")
# So that nobody waits for the tests to hear of a slip. Collected once, the tests and what they
# import are compiled, which in a fresh tree each of the processes that run them did for itself.
FIRST = {
    "format": ["-m", "ruff", "format", "--check", "."],
    "lint": ["-m", "ruff", "check", "."],
    "types": ["-m", "mypy", "."],
    "that each test can be collected": ["-m", "pytest", "--collect-only", "-qq"],
}
CHECKS: dict[str, list[str]] = {
    "import contracts": [
        "-c",
        "from importlinter.cli import lint_imports_command; lint_imports_command()",
    ],
    "migrations": ["manage.py", "makemigrations", "--check", "--dry-run"],
    "settings": ["manage.py", "check", "--deploy", "--tag=security", "--fail-level=WARNING"],
}


def main(argv: list[str]) -> int:
    """Run the command; return its exit code."""
    folder = Path(tempfile.mkdtemp(prefix="halfpoint-test-", dir=_roomy()))
    try:
        return runner.run(lambda: _checked(argv, folder))
    finally:
        shutil.rmtree(folder, ignore_errors=True)


def _checked(argv: list[str], folder: Path) -> int:
    bootstrap.ensure(everything=True)
    browser = find_browser(required=not argv)
    with servers.running(folder, safe=False, createdb=True) as up:
        environ = environ_of(up, browser)
        tests = {"tests": ["-m", "pytest", *(argv or SPREAD)]}
        if argv:
            _run(tests, {}, environ, folder)
        else:
            _run(FIRST, {**CHECKS, **tests}, environ, folder)
    return 0


def _roomy() -> str | None:
    """Return the system's folder in memory, where it is one with room; else None, for the usual.

    Each test copies a database and removes it again, which a disk takes ten times as long over.
    """
    if "TMPDIR" in os.environ or not os.path.ismount(MEMORY) or not os.access(MEMORY, os.W_OK):
        return None
    return MEMORY if shutil.disk_usage(MEMORY).free > MEMORY_NEEDED else None


def environ_of(up: servers.Servers, browser: str) -> dict[str, str]:
    """Return the environment of a check: this process's own, on servers of our own."""
    left_out = {*start.OWN, "HALFPOINT_ROLE"}
    return {
        **{key: value for key, value in os.environ.items() if key not in left_out},
        **up.environ,
        "DJANGO_SETTINGS_MODULE": "deploy.settings",
        "HALFPOINT_TEST": "1",
        "HALFPOINT_MAIL": str(up.mail),
        "CHROMIUM": browser,
    }


def _run(
    first: dict[str, list[str]], then: dict[str, list[str]], environ: dict[str, str], folder: Path
) -> None:
    """Run commands beside each other; the first that fails ends the others, and is what is told.

    ``then`` begins when the last of ``first`` has ended, beside what still runs of the others: of a
    check by itself a second core would see nothing. The last of all shows what it says as it comes,
    the others theirs when they have ended.
    """
    running: dict[str, subprocess.Popen[bytes]] = {}
    awaited, shown = [*first][-1], [*first, *then][-1]
    begun = first
    try:
        while begun or running:
            for name, command in begun.items():
                step(f"checking: {name}")
                running[name] = _started(name, command, environ, folder, shown=name == shown)
            begun = {}
            for name in [name for name, ran in running.items() if ran.poll() is not None]:
                code = running.pop(name).returncode
                if name == awaited and not code:
                    begun = then  # what it said is no news
                else:
                    _judge(name, code, folder)
            time.sleep(0.1)
    finally:
        _end(list(running.values()))


def _judge(name: str, code: int, folder: Path) -> None:
    """Tell what a command said that has ended, and end the run by one that failed."""
    said = _said(folder, name)
    if said.exists():
        print(said.read_text(errors="replace"), end="", flush=True)
    if code:
        raise Trouble(Exit.FAILED, f"Failed: {name} (code {code}).")


def _said(folder: Path, name: str) -> Path:
    return folder / f"{name}.said"


def _started(
    name: str, command: list[str], environ: dict[str, str], folder: Path, *, shown: bool
) -> subprocess.Popen[bytes]:
    if name == "settings":  # as served in earnest
        environ = {**environ, "SITE_URL": "https://halfpoint.example", "HALFPOINT_TEST": "0"}
    with contextlib.ExitStack() as kept:
        out = None if shown else kept.enter_context(_said(folder, name).open("wb"))
        argv = [str(PYTHON), *command]
        return subprocess.Popen(
            argv, cwd=BASE, env=environ, stdout=out, stderr=out, process_group=0
        )


def _end(running: list[subprocess.Popen[bytes]]) -> None:
    for ran in running:
        child.kill_group(ran.pid, signal.SIGTERM)
    for ran in running:
        with contextlib.suppress(subprocess.TimeoutExpired):
            ran.wait(10)
        child.kill_group(ran.pid)
        ran.wait()


def find_browser(*, required: bool) -> str:
    """Return the browser that the tests drive; install Debian's where we may.

    Debian's shell of Chromium draws pages only, at a third of the work of the whole of it, which
    draws its own windows without a screen too. So it is fetched even where there is the other.
    """
    given = os.environ.get("CHROMIUM", "")
    if given and not shutil.which(given):
        raise Trouble(Exit.FAILED, f"CHROMIUM names {given}, which cannot be run.")
    found = given or _browser()
    if given or not required or found.endswith(SHELL):
        return found
    if os.geteuid() == 0 and shutil.which("apt-get"):
        step(f"installing {SHELL} for the browser tests")
        _apt("update")
        _apt("install", "-y", "--no-install-recommends", SHELL)
        if not _browser():
            _apt("install", "-y", "--no-install-recommends", "chromium")
        found = _browser()
    if found:
        return found
    raise Trouble(
        Exit.FAILED,
        "The browser tests need Chromium, and none was found.\n"
        f"On Debian: sudo {INSTALL_BROWSER}\nElsewhere: set CHROMIUM to its path.",
    )


def _browser() -> str:
    return next((path for name in BROWSERS if (path := shutil.which(name))), "")


def _apt(*argv: str) -> None:
    """Ask Debian's archive for something, and give up soon where it cannot be reached."""
    soon = ("-q", "-o", "Acquire::Retries=1", "-o", "Acquire::http::Timeout=20")
    environ = {**os.environ, "DEBIAN_FRONTEND": "noninteractive"}
    with contextlib.suppress(subprocess.TimeoutExpired):
        subprocess.run(
            ["apt-get", *argv, *soon],
            env=environ,
            stdout=subprocess.DEVNULL,
            check=False,
            timeout=PATIENCE,
        )
