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
from pathlib import Path

from deploy.launch import bootstrap, child, servers, start
from deploy.launch.programs import BASE, PYTHON
from deploy.launch.trouble import Exit, Trouble, step

BROWSERS = ("chromium", "chromium-browser", "google-chrome")
MEMORY = "/dev/shm"  # noqa: S108 - made there by mkdtemp, mode 0700
MEMORY_NEEDED = 2 * 2**30
INSTALL_BROWSER = "apt-get install -y --no-install-recommends chromium"
# Three, since tests wait for servers, browsers and mail; whoever is done takes of the others' rest.
SPREAD = ("-n", "3", "--dist", "worksteal")
CHECKS: dict[str, list[str]] = {
    "format": ["-m", "ruff", "format", "--check", "."],
    "lint": ["-m", "ruff", "check", "."],
    "types": ["-m", "mypy", "."],
    "import contracts": [
        "-c",
        "from importlinter.cli import lint_imports_command; lint_imports_command()",
    ],
    "migrations": ["manage.py", "makemigrations", "--check", "--dry-run"],
    "settings": ["manage.py", "check", "--deploy", "--tag=security", "--fail-level=WARNING"],
}


def main(argv: list[str]) -> int:
    """Run the command; return its exit code."""
    start.heed_signals()
    folder = Path(tempfile.mkdtemp(prefix="halfpoint-test-", dir=_roomy()))
    try:
        bootstrap.ensure(everything=True)
        browser = find_browser(required=not argv)
        with servers.running(folder, safe=False, createdb=True) as up:
            environ = environ_of(up, browser)
            if not argv:
                for name, command in CHECKS.items():
                    _run(name, command, environ)
            _run("tests", ["-m", "pytest", *(argv or SPREAD)], environ)
    except start.Stop:
        step("stopped")
        return 130
    except Trouble as trouble:
        print(f"\n{trouble}", flush=True)
        return trouble.code
    finally:
        shutil.rmtree(folder, ignore_errors=True)
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


def _run(name: str, command: list[str], environ: dict[str, str]) -> None:
    step(f"checking: {name}")
    if name == "settings":  # as served in earnest
        environ = {**environ, "SITE_URL": "https://halfpoint.example", "HALFPOINT_TEST": "0"}
    ran = subprocess.Popen([str(PYTHON), *command], cwd=BASE, env=environ, process_group=0)
    try:
        code = ran.wait()
    except start.Stop:
        child.kill_group(ran.pid, signal.SIGTERM)
        with contextlib.suppress(subprocess.TimeoutExpired):
            ran.wait(10)
        child.kill_group(ran.pid)
        raise
    if code:
        raise Trouble(Exit.FAILED, f"Failed: {name} (code {code}).")


def find_browser(*, required: bool) -> str:
    """Return the browser that the tests drive; install Debian's where we may."""
    given = os.environ.get("CHROMIUM", "")
    if given and not shutil.which(given):
        raise Trouble(Exit.FAILED, f"CHROMIUM names {given}, which cannot be run.")
    found = given or next((path for name in BROWSERS if (path := shutil.which(name))), "")
    if found or not required:
        return found
    if os.geteuid() == 0 and shutil.which("apt-get"):
        step("installing chromium for the browser tests")
        environ = {**os.environ, "DEBIAN_FRONTEND": "noninteractive"}
        for argv in (["apt-get", "update"], INSTALL_BROWSER.split()):
            subprocess.run([*argv, "-q"], env=environ, stdout=subprocess.DEVNULL, check=False)
        if path := shutil.which("chromium"):
            return path
    raise Trouble(
        Exit.FAILED,
        "The browser tests need Chromium, and none was found.\n"
        f"On Debian: sudo {INSTALL_BROWSER}\nElsewhere: set CHROMIUM to its path.",
    )
