"""``deploy/start``: everything on one machine, until TERM or Ctrl-C."""

import argparse
import hashlib
import json
import os
import shlex
import signal
import socket
import subprocess
import time
from contextlib import ExitStack
from pathlib import Path
from types import FrameType

from deploy.launch import bootstrap, house, servers
from deploy.launch import folder as folders
from deploy.launch import mode as modes
from deploy.launch.programs import BASE, PYTHON
from deploy.launch.trouble import Exit, Trouble, disk_full, is_disk_full, step

APPS = ("yards", "scoring", "api")
OWN = (*servers.DATABASES, "REDIS_URL", "EMAIL_URL", "SECRET_KEY", "SITE_URL")


class Stop(BaseException):
    """TERM, or Ctrl-C: not a fault, and nothing may swallow it on the way out."""


def _stop(_sign: int, _frame: FrameType | None) -> None:
    # A second signal must not break off the stopping.
    signal.signal(signal.SIGTERM, signal.SIG_IGN)
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    raise Stop


def heed_signals() -> None:
    """From now on TERM and Ctrl-C raise Stop."""
    signal.signal(signal.SIGTERM, _stop)
    signal.signal(signal.SIGINT, _stop)


def main(argv: list[str]) -> int:
    """Run the command; return its exit code."""
    given = _arguments(argv)
    heed_signals()
    try:
        _bring_up(given)
    except Stop:
        step("stopped")
        return 0
    except Trouble as trouble:
        print(f"\n{trouble}", flush=True)
        return trouble.code
    except OSError as error:
        if not is_disk_full(error):
            raise
        print(f"\n{disk_full(given.data, str(error))}", flush=True)
        return Exit.DISK_FULL
    return 0


def _arguments(argv: list[str]) -> argparse.Namespace:
    parser = argparse.ArgumentParser(prog="deploy/start", description=__doc__)
    parser.add_argument("--data", type=Path, default=BASE / ".halfpoint", metavar="DIR")
    parser.add_argument("--port", type=_port, default=8000, metavar="N", help="0 takes a free one")
    parser.add_argument("--empty", action="store_true", help="without the demo scenario")
    return parser.parse_args(argv)


def _port(text: str) -> int:
    number = int(text)
    if not 0 <= number <= 65535:
        raise argparse.ArgumentTypeError("must be 0 to 65535")
    return number


def _bring_up(given: argparse.Namespace) -> None:
    own = {name: os.environ[name] for name in OWN if os.environ.get(name)}
    complete = all(name in own for name in (*servers.DATABASES, "REDIS_URL"))
    with ExitStack() as stack:
        stack.enter_context(servers.claimed(given.data))
        door = stack.enter_context(house.open_door(given.port))
        bootstrap.ensure(everything=False, servers=not complete)
        up = stack.enter_context(servers.running(given.data, own=own))
        mode = modes.for_python(up.mode, PYTHON, BASE / "manage.py")
        if os.geteuid() == 0 and mode.name == "direct":
            step("web, worker and beat run as root: they could not read the checkout otherwise")
        url = _prepare(given, up, mode, door)
        home = stack.enter_context(house.serving(up.environ, up.folder, door=door, mode=mode))
        step("web, worker and beat are started; waiting for each to answer")
        home.wait()
        print(f"Halfpoint is ready at {url}", flush=True)
        while True:
            home.require_alive()
            for child in up.children.values():
                if not child.alive():
                    raise Trouble(
                        Exit.CHILD_DIED,
                        f"{child.name} ended by itself; the end of {child.log}:\n{child.tail()}",
                    )
            time.sleep(0.5)


def _prepare(
    given: argparse.Namespace, up: servers.Servers, mode: modes.Mode, door: socket.socket
) -> str:
    """Migrate, collect, make the demo, write down where we are; return the address."""
    url = f"http://127.0.0.1:{door.getsockname()[1]}"
    up.environ.setdefault("SITE_URL", url)
    _manage(up, mode, "bringing the tables up to date", "migrate", "--no-input", role="owner")
    _collect(up, mode)
    demo = up.folder / "demo.json"
    if "empty" not in folders.recall(up.folder):
        folders.note(up.folder, empty=given.empty)
    if demo.exists():
        facts = json.loads(demo.read_text())
        folders.write_private(demo, json.dumps({**facts, "url": url}, indent=1) + "\n")
    elif not folders.recall(up.folder)["empty"]:
        told = os.environ.get("HALFPOINT_DEMO", "")
        # What was checked before the tables were brought up to date is not checked again.
        command = ["make_demo", "--skip-checks", f"--data={up.folder}", f"--url={url}"]
        command += [f"--scenario={told}"] if told else []
        _manage(up, mode, "making the demo scenario", *command)
    lines = [f"export {key}={shlex.quote(value)}" for key, value in sorted(up.environ.items())]
    folders.write_private(up.folder / "environment", "\n".join(lines) + "\n")
    return url


def _collect(up: servers.Servers, mode: modes.Mode) -> None:
    """Collect and compress the static files, unless they are as they were at the last start."""
    seal = hashlib.sha256((BASE / "uv.lock").read_bytes())
    for path in sorted(each for app in APPS for each in (BASE / app / "static").rglob("*")):
        seal.update(f"{path} {path.stat().st_mtime_ns} {path.stat().st_size}".encode())
    made = up.folder / "static" / "staticfiles.json"
    if made.exists() and folders.recall(up.folder).get("static") == seal.hexdigest():
        return
    # What no page of ours asks for is not worth its compressing.
    left = ("-i=redoc", "-i=rest_framework")
    _manage(up, mode, "collecting static files", "collectstatic", "--no-input", "--clear", *left)
    folders.note(up.folder, static=seal.hexdigest())


def _manage(
    up: servers.Servers, mode: modes.Mode, what: str, *argv: str, role: str = "runtime"
) -> None:
    step(what)
    ran = subprocess.run(
        mode.command([str(PYTHON), "manage.py", *argv]),
        env={**os.environ, **up.environ, "HALFPOINT_ROLE": role},
        cwd=BASE,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
        check=False,
    )
    with (up.folder / "log" / "setup.log").open("a") as log:
        log.write(ran.stdout)
    if ran.returncode:
        if is_disk_full(ran.stdout):
            raise disk_full(up.folder, what)
        end = "\n".join(ran.stdout.splitlines()[-20:])
        raise Trouble(Exit.FAILED, f"manage.py {argv[0]} failed:\n{end}")
