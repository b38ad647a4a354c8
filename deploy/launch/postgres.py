"""PostgreSQL of our own: on a Unix socket only, passwords always, three roles and no superuser."""

import os
import re
import shutil
import signal
import subprocess
import time
from dataclasses import dataclass
from pathlib import Path

from deploy.launch.child import Child
from deploy.launch.folder import write_private
from deploy.launch.mode import Mode
from deploy.launch.trouble import Exit, Trouble, disk_full, is_disk_full

DATABASE = "halfpoint"
OWNER, RUNTIME, RELAY = "halfpoint_owner", "halfpoint_web", "halfpoint_relay"

# For tests: nothing is kept, the copies that they make need not be logged and live for moments.
UNSAFE = {
    "autovacuum": "off",
    "fsync": "off",
    "full_page_writes": "off",
    "wal_level": "minimal",
    "max_wal_senders": "0",
    "max_wal_size": "256MB",
    # A password still, but no work to guess it: each test signs in a few times.
    "scram_iterations": "1",
}

# Run again at every start: it mends what a start that was cut off left undone.
_ROLES = """
SELECT format('CREATE ROLE %I', r) FROM unnest(ARRAY['{owner}', '{runtime}', '{relay}']) r
WHERE NOT EXISTS (SELECT FROM pg_roles WHERE rolname = r) \\gexec
ALTER ROLE {owner} LOGIN NOSUPERUSER NOBYPASSRLS NOCREATEROLE {createdb} PASSWORD :'owner';
ALTER ROLE {runtime} LOGIN NOSUPERUSER NOBYPASSRLS NOCREATEROLE NOCREATEDB PASSWORD :'runtime';
ALTER ROLE {relay} LOGIN NOSUPERUSER NOBYPASSRLS NOCREATEROLE NOCREATEDB PASSWORD :'relay';
SELECT 'CREATE DATABASE {database} OWNER {owner}'
WHERE NOT EXISTS (SELECT FROM pg_database WHERE datname = '{database}') \\gexec
REVOKE ALL ON DATABASE {database} FROM PUBLIC;
GRANT CONNECT, TEMPORARY ON DATABASE {database} TO {runtime};
GRANT CONNECT ON DATABASE {database} TO {relay};
"""
# Who makes databases may also drop one that somebody is still connected to.
_DROPS = "GRANT pg_signal_backend TO {owner};"
# In the database and in the template of those that tests make from it.
_SCHEMA = """
REVOKE ALL ON SCHEMA public FROM PUBLIC;
GRANT USAGE, CREATE ON SCHEMA public TO {owner};
GRANT USAGE ON SCHEMA public TO {runtime}, {relay};
"""


@dataclass(frozen=True)
class Place:
    """Where one server's programs, data and socket are, and who runs it."""

    programs: Path
    folder: Path
    sockets: Path
    mode: Mode

    @property
    def data(self) -> Path:
        """The server's own data."""
        return self.folder / "postgres"

    def url(self, user: str, password: str) -> str:
        """Return the address for one role."""
        return f"postgresql://{user}:{password}@/{DATABASE}?host={self.sockets}"

    def run(self, argv: list[str], **options: object) -> subprocess.CompletedProcess[str]:
        """Run one of the server's programs to its end."""
        return subprocess.run(
            self.mode.command([str(self.programs / argv[0]), *argv[1:]]),
            capture_output=True,
            text=True,
            check=False,
            cwd="/",
            **{**self.mode.options(), **options},
        )


def major(place: Place) -> str:
    """Return the programs' major version, such as "18"."""
    said = place.run(["postgres", "--version"]).stdout
    found = re.search(r"\) (\d+)", said)
    return found.group(1) if found else ""


def require_same_major(place: Place) -> None:
    """Raise Trouble if the data were made by another major version, which ours cannot read."""
    stamp = place.data / "PG_VERSION"
    if not stamp.exists():
        return
    made_by, ours = stamp.read_text().strip(), major(place)
    if made_by != ours:
        raise Trouble(
            Exit.OTHER_MAJOR,
            f"{place.data} was made by PostgreSQL {made_by}, and this is PostgreSQL {ours}, "
            "which cannot read it. Nothing was changed.\n"
            f"To keep the data: run the release of Halfpoint that brought PostgreSQL {made_by}, "
            "dump with pg_dump, and restore here into a new folder.\n"
            "To begin anew: move the folder away, or name another with --data DIR.",
        )


def make(place: Place, password: str, *, safe: bool) -> None:
    """Make the data folder, beside its place and then moved there, so never half made."""
    making = place.folder / "postgres.making"
    secret = place.folder / "postgres.password"
    shutil.rmtree(making, ignore_errors=True)
    making.mkdir(mode=0o700)
    write_private(secret, password)
    place.mode.give(making, secret)
    try:
        made = place.run(
            [
                *("initdb", "-D", str(making), "-U", "postgres", f"--pwfile={secret}"),
                *("--auth=scram-sha-256", "-E", "UTF8", "--data-checksums"),
                *(["--locale-provider=builtin"] if int(major(place)) >= 17 else []),
                "--locale=C.UTF-8",
                *([] if safe else ["--no-sync"]),
            ]
        )
    finally:
        secret.unlink()
    if made.returncode:
        shutil.rmtree(making, ignore_errors=True)
        if is_disk_full(made.stderr):
            raise disk_full(place.folder, "making the database did not fit")
        raise Trouble(Exit.FAILED, f"The database could not be made:\n{made.stderr.strip()}")
    making.rename(place.data)


def start(place: Place, *, safe: bool) -> Child:
    """Start the server. ``safe=False`` gives up surviving a power cut, for tests only."""
    settings = {
        "listen_addresses": "",
        "unix_socket_directories": str(place.sockets),
        "unix_socket_permissions": "0700",
        "password_encryption": "scram-sha-256",
        "timezone": "UTC",
        "log_timezone": "UTC",
        "jit": "off",
        "max_connections": "100",
        **({} if safe else UNSAFE),
    }
    argv = [str(place.programs / "postgres"), "-D", str(place.data)]
    for name, value in settings.items():
        argv += ["-c", f"{name}={value}"]
    return Child(
        "postgres",
        argv,
        folder=place.folder,
        environ={**os.environ, "LC_ALL": "C"},
        mode=place.mode,
        cwd=Path("/"),
        stop_with=signal.SIGINT,  # 'fast': sessions are ended, data are written
    )


def wait(place: Place, child: Child, seconds: float = 60) -> None:
    """Return when the server answers; raise Trouble if it dies or takes too long."""
    until = time.monotonic() + seconds
    while time.monotonic() < until and child.alive():
        if place.run(["pg_isready", "-q", "-h", str(place.sockets)]).returncode == 0:
            return
        time.sleep(0.05)
    said = child.tail()
    child.kill()
    if is_disk_full(said):
        raise disk_full(place.folder, "the database could not start")
    raise Trouble(Exit.CHILD_DIED, f"PostgreSQL did not start; the end of {child.log}:\n{said}")


def make_roles(place: Place, secrets: dict[str, str], *, createdb: bool) -> None:
    """Make the three roles and the database, or bring them in line."""
    names = {"owner": OWNER, "runtime": RUNTIME, "relay": RELAY, "database": DATABASE}
    may = "CREATEDB" if createdb else "NOCREATEDB"
    roles = _ROLES + (_DROPS if createdb else "")
    _psql(place, secrets, "postgres", roles.format(createdb=may, **names))
    for database in (DATABASE, "template1"):
        _psql(place, secrets, database, _SCHEMA.format(**names))


def _psql(place: Place, secrets: dict[str, str], database: str, sql: str) -> None:
    given = {name: secrets[name] for name in ("owner", "runtime", "relay")}
    sets = "".join(f"\\set {name} '{value}'\n" for name, value in given.items())
    ran = place.run(
        [
            *("psql", "-X", "-q", "-v", "ON_ERROR_STOP=1"),
            *("-h", str(place.sockets), "-U", "postgres", "-d", database),
        ],
        input=sets + sql,
        env={
            **os.environ,
            "PGPASSWORD": secrets["postgres"],
            "PGOPTIONS": "-c log_min_error_statement=panic -c client_min_messages=warning",
        },
    )
    if ran.returncode:
        raise Trouble(Exit.FAILED, f"The database's roles could not be made:\n{ran.stderr.strip()}")
