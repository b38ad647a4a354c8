"""One command starts everything, empty or with a demo, and keeps what it finds in its folder."""

import json
import os
import signal
import subprocess
import sys
import time
import urllib.request
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest

from deploy.launch import folder as folders
from deploy.launch import house, servers
from deploy.launch.child import Child
from deploy.launch.mode import Mode
from deploy.launch.programs import BASE
from deploy.launch.trouble import Exit, Trouble
from yards.rules import fixture

NOT_OURS = (*servers.DATABASES, "REDIS_URL", "EMAIL_URL", "SECRET_KEY", "HALFPOINT_TEST")


@contextmanager
def started(data: Path, scenario: Path, *more: str) -> Iterator[str]:
    """Run the whole of ``deploy/start`` on a free port, and stop it as a person would."""
    left_out = {*NOT_OURS, "HALFPOINT_DATA", "DJANGO_SETTINGS_MODULE"}
    environ = {key: value for key, value in os.environ.items() if key not in left_out}
    environ["HALFPOINT_DEMO"] = str(scenario)
    # By the Python that made the environment: another one would make it anew under our feet.
    command = [
        getattr(sys, "_base_executable", sys.executable),
        "deploy/start",
        "--port",
        "0",
        "--data",
        str(data),
        *more,
    ]
    ran = subprocess.Popen(
        command, cwd=BASE, env=environ, stdout=subprocess.PIPE, text=True, start_new_session=True
    )
    try:
        lines: list[str] = []
        for line in ran.stdout or ():
            lines.append(line)
            if line.startswith("Halfpoint is ready at "):
                break
        assert lines[-1].startswith("Halfpoint is ready at http://127.0.0.1:"), "".join(lines)
        yield lines[-1].split()[-1]
        began = time.monotonic()
        ran.send_signal(signal.SIGTERM)
        assert ran.wait(30) == 0
        assert time.monotonic() - began < 20, "the contract: every child stopped within 20 s"
    finally:
        if ran.poll() is None:
            os.killpg(ran.pid, signal.SIGKILL)


def me(url: str, token: str) -> Any:
    asked = urllib.request.Request(f"{url}/api/v1/me/", headers={"Authorization": f"Token {token}"})
    with urllib.request.urlopen(asked, timeout=10) as answer:
        return json.load(answer)


def briefly(scenario: Mapping[str, Any]) -> dict[str, Any]:
    """The scenario with two animals a house, since what they lived through is not the matter."""
    houses = [{**each, "horses": each["horses"][:2]} for each in scenario["organisations"]]
    return {**scenario, "organisations": houses}


@pytest.mark.long
def test_one_command_starts_everything_and_the_next_start_keeps_the_demo(tmp_path: Path) -> None:
    """Each in the folder of the one before: a database of its own for each is work and shows no
    more."""
    data, scenario = tmp_path / "data", tmp_path / "scenario.json"
    scenario.write_text(json.dumps(briefly(fixture.load("demo"))))
    with started(data, scenario, "--empty") as url:
        status, body = house.fetch(f"{url}/accounts/login/")
        assert status == 200
        assert "A condition score describes fat cover. It is not a diagnosis." in body
        assert not (data / "demo.json").exists()
    # What was begun empty stays empty; this one is to have its demo after all.
    assert folders.recall(data)["empty"] is True
    folders.note(data, empty=False)
    with started(data, scenario) as url:
        first = json.loads((data / "demo.json").read_text())
        assert first["url"] == url
        seen = {key: me(url, token) for key, token in first["tokens"].items()}
    with started(data, scenario) as url:
        second = json.loads((data / "demo.json").read_text())
        assert second["url"] == url
        assert {**second, "url": ""} == {**first, "url": ""}
        assert {key: me(url, token) for key, token in second["tokens"].items()} == seen


def test_a_tick_of_an_earlier_house_is_not_this_ones(tmp_path: Path) -> None:
    """A Redis of one's own keeps the last tick for a day, and a beat that is dead looks alive."""
    (tmp_path / "log").mkdir()
    (tmp_path / "run").mkdir()
    with house.open_door(0) as door:
        home = house.House("", tmp_path, dict(os.environ), Mode("direct"), door)
        home.start("beat")
        try:
            assert isinstance(home.children["beat"], Child)
            assert not home._ticked({"beat_age_s": None})
            assert not home._ticked({"beat_age_s": 3600.0})
            home.began -= 10
            assert home._ticked({"beat_age_s": 1.0})
        finally:
            home.stop()


@pytest.mark.parametrize("given", [servers.DATABASES[:1], servers.DATABASES[1:]])
def test_some_addresses_of_a_database_are_refused_naming_the_others(
    tmp_path: Path, given: tuple[str, ...]
) -> None:
    own = dict.fromkeys(given, "postgresql://somebody@db.example.org/halfpoint")
    with (
        pytest.raises(Trouble) as trouble,
        servers.running(tmp_path / "data", safe=False, own=own),
    ):
        raise AssertionError("it started")
    assert trouble.value.code == Exit.FAILED
    missing, _, rest = str(trouble.value).partition(" must be set too")
    assert missing.split(" and ") == [name for name in servers.DATABASES if name not in given]
    assert rest
    assert not (tmp_path / "data" / "postgres").exists()
