"""A whole house at work on a test's own database: web, worker, beat, broker and a mail server."""

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest
from django.conf import settings

from deploy.launch import house
from tests import mailbox


@dataclass
class Home:
    """Where the house is reached, and the mail that it sent."""

    url: str
    mail: mailbox.Mailbox
    house: house.House


@pytest.fixture
def home(environment: dict[str, str], tmp_path: Path, worker_id: str) -> Iterator[Home]:
    """Start the house and stop it at the end; the broker's database is this test worker's own."""
    number = 1 if worker_id == "master" else 1 + int(worker_id.removeprefix("gw"))
    broker = environment["REDIS_URL"]
    joint = "&" if "?" in broker else "?"
    (tmp_path / "run").mkdir()
    (tmp_path / "log").mkdir()
    with mailbox.opened() as mail:
        environ = {
            **environment,
            "REDIS_URL": f"{broker}{joint}db={number}",
            "EMAIL_URL": f"smtp://127.0.0.1:{settings.EMAIL_PORT}",
            "HALFPOINT_DATA": str(tmp_path),
        }
        with house.serving(environ, tmp_path) as served:
            served.wait()
            yield Home(served.url, mail, served)
