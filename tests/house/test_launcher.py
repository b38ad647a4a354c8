"""The launcher's servers are real, private, unprivileged, and keep what they were given."""

import os
import signal
import socket
import stat
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import psycopg
import pytest
import redis

from deploy.launch import checks, house, servers
from deploy.launch.programs import BASE
from deploy.launch.trouble import Exit, Trouble


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("data") / "halfpoint"


@pytest.fixture(scope="module")
def up(folder: Path) -> Iterator[servers.Servers]:
    with servers.running(folder, safe=False) as running:
        yield running


def test_the_database_asks_for_a_password_and_hears_nothing_from_the_network(
    up: servers.Servers,
) -> None:
    url = up.environ["DATABASE_URL"]
    with psycopg.connect(url) as connection:
        listens = connection.execute("SHOW listen_addresses").fetchone()
        assert listens == ("",)
    password = up.environ["DATABASE_URL"].split(":")[2].split("@")[0]
    with pytest.raises(psycopg.OperationalError, match="password authentication failed"):
        psycopg.connect(url.replace(password, "wrong"))


@pytest.mark.parametrize("name", servers.DATABASES)
def test_no_role_of_ours_is_above_the_wall(up: servers.Servers, name: str) -> None:
    with psycopg.connect(up.environ[name]) as connection:
        row = connection.execute(
            "SELECT rolsuper, rolbypassrls, rolcreatedb FROM pg_roles WHERE rolname = current_user"
        ).fetchone()
    assert row == (False, False, False)


def test_only_the_owner_may_make_tables(up: servers.Servers) -> None:
    for name in ("DATABASE_URL", "DATABASE_RELAY_URL"):
        with (
            psycopg.connect(up.environ[name]) as connection,
            pytest.raises(psycopg.errors.InsufficientPrivilege),
        ):
            connection.execute("CREATE TABLE mine (id int)")


def test_the_broker_asks_for_a_password(up: servers.Servers) -> None:
    url = up.environ["REDIS_URL"].replace("redis+socket://", "unix://")
    assert redis.Redis.from_url(url).ping()
    path = url.rsplit("@", 1)[1].split("?")[0] if "@" in url else url.removeprefix("unix://")
    with pytest.raises(redis.exceptions.AuthenticationError):
        redis.Redis(unix_socket_path=path).ping()


def test_secrets_are_for_our_eyes_only(up: servers.Servers, folder: Path) -> None:
    assert stat.S_IMODE((folder / "secrets").stat().st_mode) == 0o600


def test_a_second_start_on_the_same_folder_is_refused(up: servers.Servers, folder: Path) -> None:
    command = [sys.executable, "-S", "deploy/start", "--data", str(folder), "--port", "0"]
    ran = subprocess.run(command, cwd=BASE, capture_output=True, text=True, check=False)
    assert ran.returncode == Exit.IN_USE
    assert "already running" in ran.stdout


def test_a_second_start_keeps_what_was_written_also_after_a_kill(tmp_path: Path) -> None:
    data = tmp_path / "data"
    with servers.running(data) as first:
        with psycopg.connect(first.environ["DATABASE_OWNER_URL"], autocommit=True) as connection:
            connection.execute("CREATE TABLE kept (id int)")
            connection.execute("INSERT INTO kept VALUES (7)")
        os.killpg(first.children["postgres"].process.pid, signal.SIGKILL)
        first.children["postgres"].process.wait(10)
    with (
        servers.running(data) as second,
        psycopg.connect(second.environ["DATABASE_OWNER_URL"]) as connection,
    ):
        assert connection.execute("SELECT id FROM kept").fetchone() == (7,)


def test_data_of_another_major_are_left_alone(tmp_path: Path) -> None:
    cluster = tmp_path / "data" / "postgres"
    cluster.mkdir(parents=True)
    (cluster / "PG_VERSION").write_text("15\n")
    with pytest.raises(Trouble) as trouble, servers.running(tmp_path / "data"):
        raise AssertionError("it started")
    assert trouble.value.code == Exit.OTHER_MAJOR
    assert "15" in str(trouble.value)


def test_a_port_that_is_taken_is_named_with_a_remedy() -> None:
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = taken.getsockname()[1]
        with pytest.raises(Trouble) as trouble:
            house.open_door(port)
    assert trouble.value.code == Exit.PORT_TAKEN
    assert f"Port {port}" in str(trouble.value)
    assert "--port" in str(trouble.value)


def test_a_full_disk_is_told_before_anything_is_made(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(servers, "FIRST_NEED", 10**9)
    with pytest.raises(Trouble) as trouble, servers.running(tmp_path / "data"):
        raise AssertionError("it started")
    assert trouble.value.code == Exit.DISK_FULL
    assert not (tmp_path / "data" / "postgres").exists()


def test_a_missing_browser_is_told_with_the_line_that_installs_it(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.delenv("CHROMIUM", raising=False)
    monkeypatch.setenv("PATH", "/nonexistent")
    monkeypatch.setattr(os, "geteuid", lambda: 1000)
    with pytest.raises(Trouble, match=checks.INSTALL_BROWSER):
        checks.find_browser(required=True)
