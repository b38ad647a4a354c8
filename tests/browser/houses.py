"""A web process of a test's own, which it may kill and start again, or run as in production."""

import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from deploy.launch import house
from tests.conftest import ROOT


@contextmanager
def opened(
    environment: dict[str, str], folder: Path, worker_id: str, **more: str
) -> Iterator[house.House]:
    """Serve the pages from a folder; the cache's database is this worker's own."""
    number = 1 if worker_id == "master" else 1 + int(worker_id.removeprefix("gw"))
    broker = environment["REDIS_URL"]
    joint = "&" if "?" in broker else "?"
    for name in ("run", "log"):
        (folder / name).mkdir(exist_ok=True)
    environ = {
        **environment,
        "REDIS_URL": f"{broker}{joint}db={number}",
        "HALFPOINT_DATA": str(folder),
        "WEB_CONCURRENCY": "1",  # with its four threads enough for one reader
        "WATCH_BANNER": "0",  # no beat and no worker beside it
        **more,
    }
    with house.serving(environ, folder, parts=("web",)) as home:
        home.wait()
        yield home


def collect(environment: dict[str, str], folder: Path) -> None:
    """Collect and compress the static files, as they are served for good.

    Those of libraries stay out but for signing in: most of the work is in what shows the API.
    """
    environ = {**environment, "HALFPOINT_DATA": str(folder), "HALFPOINT_TEST": "0"}
    left = ("-i=drf_spectacular_sidecar", "-i=rest_framework")
    command = [sys.executable, "manage.py", "collectstatic", "--no-input", *left]
    done = subprocess.run(
        command, cwd=ROOT, env=environ, check=False, capture_output=True, text=True
    )
    assert done.returncode == 0, done.stderr
