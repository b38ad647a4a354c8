"""What the launcher does when it is killed, kept from namespaces, or its parts go away."""

import json
import os
import pwd
import shutil
import signal
import smtplib
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from email import message_from_bytes
from pathlib import Path

import psycopg
import pytest

from deploy.launch import child, mode, postgres, servers
from deploy.launch.programs import BASE
from deploy.launch.trouble import Exit, Trouble

# What can be tried here: root has two ways not to be root, everybody else is not root anyhow.
MODES: tuple[mode.Name, ...] = ("namespace", "nobody") if os.geteuid() == 0 else ("direct",)
HOLD = """
import sys, time
from pathlib import Path
from deploy.launch import servers
with servers.running(Path(sys.argv[1]), safe=False):
    print("up", flush=True)
    time.sleep(600)
"""


@pytest.fixture
def open_folder() -> Iterator[Path]:
    """A folder that every user can get to, which pytest's own is not."""
    made = Path(tempfile.mkdtemp(prefix="hp-open-"))
    yield made
    shutil.rmtree(made)


def noted(folder: Path) -> dict[str, int]:
    """Return the process numbers of what runs in ``folder``."""
    notes = (folder / "run").glob("*.json")
    return {each.stem: int(json.loads(each.read_text())["pid"]) for each in notes}


def test_after_a_kill_of_the_parent_the_next_start_ends_what_is_left_and_keeps_the_data(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    data = tmp_path / "data"
    parent = subprocess.Popen(
        [sys.executable, "-c", HOLD, str(data)], cwd=BASE, stdout=subprocess.PIPE, text=True
    )
    assert parent.stdout is not None
    assert any(line == "up\n" for line in parent.stdout)
    left = noted(data)
    assert left.keys() == {"postgres", "valkey", "mailbox"}
    parent.kill()
    parent.wait()
    assert all(child.started(pid) for pid in left.values()), "they outlive their parent"
    with servers.running(data, safe=False) as up:
        assert not any(child.started(pid) for pid in left.values())
        with psycopg.connect(up.environ["DATABASE_URL"]) as connection:
            assert connection.execute("SELECT 1").fetchone() == (1,)
    said = capsys.readouterr().out
    assert all(f"ended {name}" in said for name in left)
    assert noted(data) == {}


def test_a_stale_note_never_ends_somebody_elses_process(tmp_path: Path) -> None:
    other = subprocess.Popen(["sleep", "60"])
    try:
        (tmp_path / "run").mkdir()
        note = {"pid": other.pid, "started": "1"}
        (tmp_path / "run" / "web.json").write_text(json.dumps(note))
        assert child.left_over(tmp_path) == []
        assert other.poll() is None
    finally:
        other.kill()
        other.wait()


@pytest.mark.parametrize("name", MODES)
def test_servers_run_without_the_powers_of_root(name: mode.Name, open_folder: Path) -> None:
    with servers.running(open_folder, safe=False, mode=name) as up:
        pid = up.children["postgres"].process.pid
        status = Path(f"/proc/{pid}/status").read_text()
        uid = int(status.split("Uid:")[1].split()[0])
        same_namespace = os.readlink(f"/proc/{pid}/ns/user") == os.readlink("/proc/self/ns/user")
        assert uid != 0 or not same_namespace
        if name == "nobody":
            assert uid == pwd.getpwnam("nobody").pw_uid
        with psycopg.connect(up.environ["DATABASE_URL"]) as connection:
            assert connection.execute("SELECT 1").fetchone() == (1,)


@pytest.mark.parametrize("name", MODES)
def test_no_folder_above_ours_is_opened(name: mode.Name, open_folder: Path) -> None:
    inside = open_folder / "closed" / "data"
    inside.parent.mkdir(mode=0o700)
    before = inside.parent.stat().st_mode
    if name == "nobody":
        with pytest.raises(Trouble, match="--data") as trouble, servers.running(inside, mode=name):
            raise AssertionError("it started")
        assert trouble.value.code == Exit.NOT_OURS
    else:
        with servers.running(inside, safe=False, mode=name) as up:
            assert up.children["postgres"].alive()
    assert inside.parent.stat().st_mode == before


def test_no_password_is_in_the_list_of_processes(tmp_path: Path) -> None:
    with servers.running(tmp_path / "data", safe=False) as up:
        secrets = json.loads((tmp_path / "data" / "secrets").read_text())
        for each in up.children.values():
            shown = Path(f"/proc/{each.process.pid}/cmdline").read_text()
            assert not [name for name, secret in secrets.items() if secret in shown]


def test_nobody_is_trusted_without_a_password(tmp_path: Path) -> None:
    with servers.running(tmp_path / "data", safe=False) as up:
        rules = (up.folder / "postgres" / "pg_hba.conf").read_text().splitlines()
        kinds = {line.split()[-1] for line in rules if line.strip() and not line.startswith("#")}
        assert kinds == {"scram-sha-256"}
        with psycopg.connect(up.environ["DATABASE_OWNER_URL"]) as connection:
            row = connection.execute("SHOW password_encryption").fetchone()
        assert row == ("scram-sha-256",)


def test_a_making_that_was_cut_off_is_begun_anew(tmp_path: Path) -> None:
    half = tmp_path / "data" / "postgres.making"
    half.mkdir(parents=True)
    (half / "PG_VERSION").write_text("1\n")
    with (
        servers.running(tmp_path / "data", safe=False) as up,
        psycopg.connect(up.environ["DATABASE_RELAY_URL"]) as connection,
    ):
        row = connection.execute("SELECT current_user, current_database()").fetchone()
    assert row == (postgres.RELAY, postgres.DATABASE)
    assert not half.exists()


def test_mail_is_one_whole_file_a_message(tmp_path: Path) -> None:
    with servers.running(tmp_path / "data", safe=False) as up:
        host, _, port = up.environ["EMAIL_URL"].removeprefix("smtp://").partition(":")
        text = "Subject: Größe\r\nMessage-ID: <a@b>\r\n\r\n.dots\r\nand words\r\n"
        with smtplib.SMTP(host, int(port)) as client:
            for _ in range(3):
                client.sendmail("a@b.example", ["c@d.example"], text.encode(), ["SMTPUTF8"])
        kept = sorted(up.mail.iterdir())
        assert [each.suffix for each in kept] == [".eml"] * 3
        message = message_from_bytes(kept[0].read_bytes())
        assert message["Message-ID"] == "<a@b>"
        assert ".dots" in str(message.get_payload())


def test_a_part_that_will_not_stop_is_ended_with_its_whole_group(tmp_path: Path) -> None:
    script = "trap '' TERM; sleep 300 & echo $! > pid; while :; do sleep 1; done"
    stubborn = child.Child(
        "stubborn",
        ["bash", "-c", script],
        folder=tmp_path,
        environ=dict(os.environ),
        mode=mode.Mode("direct"),
        cwd=tmp_path,
    )
    while not (tmp_path / "pid").exists() or not (tmp_path / "pid").read_text():
        time.sleep(0.01)
    inner = int((tmp_path / "pid").read_text())
    began = time.monotonic()
    stubborn.stop(0.5)
    assert time.monotonic() - began < 5
    assert stubborn.process.returncode == -signal.SIGKILL
    while child.started(inner):
        assert time.monotonic() - began < 5
        time.sleep(0.01)
