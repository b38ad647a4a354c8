"""The ground of a run: a database with the cast and an invented herd, looked at from above.

The herd is laid in before the first fault, by SQL as the superuser; all else that is written comes
through the service's own doors.
"""

import os
import subprocess
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import Any
from urllib.parse import parse_qs, urlsplit, urlunsplit
from uuid import UUID, uuid5

import psycopg
from psycopg import sql

from deploy.launch import folder as folders
from deploy.launch import programs
from deploy.launch.programs import BASE, PYTHON
from tests import cast

LAID, TEMPLATE = "Teasel", "halfpoint"
URLS = ("DATABASE_URL", "DATABASE_OWNER_URL", "DATABASE_RELAY_URL")


@dataclass(frozen=True, slots=True)
class Horse:
    """One animal of the herd, which is read once."""

    ref: UUID
    name: str


def herd(count: int) -> list[Horse]:
    """Return so many invented horses; a name is found in no other's."""
    names = [f"Fault {number:06d}" for number in range(count)]
    return [Horse(uuid5(cast.NAMESPACE, name), name) for name in names]


def prepare(environ: dict[str, str]) -> None:
    """Migrate as the owner, and write the cast as the runtime."""
    for argv, role in ((["manage.py", "migrate"], "owner"), (["-m", "tests.cast"], "runtime")):
        done = subprocess.run(
            [str(PYTHON), *argv],
            cwd=BASE,
            env={
                **os.environ,
                **environ,
                "HALFPOINT_ROLE": role,
                "HALFPOINT_TEST": "1",
                "DJANGO_SETTINGS_MODULE": "deploy.settings",
            },
            capture_output=True,
            text=True,
            check=False,
        )
        if done.returncode:
            raise RuntimeError(f"{argv} failed:\n{done.stdout}{done.stderr}")


def at(environ: dict[str, str], database: str) -> dict[str, str]:
    """Return the three addresses, of another database on the same server."""
    return {
        name: urlunsplit(urlsplit(environ[name])._replace(path=f"/{database}")) for name in URLS
    }


def lay(above: psycopg.Connection[Any], horses: Iterable[Horse]) -> None:
    """Copy one horse of the cast, its stay and its standing for each of the herd."""
    every = list(horses)
    above.execute("CREATE TEMPORARY TABLE laid (ref uuid, name text)")
    above.execute(
        "INSERT INTO laid SELECT * FROM unnest(%s::uuid[], %s::text[])",
        [[horse.ref for horse in every], [horse.name for horse in every]],
    )
    found = above.execute("SELECT id FROM yards_horse WHERE ref = %s", [cast.ref(LAID)])
    (model,) = found.fetchone() or (0,)
    over = {"ref": "laid.ref", "name": "laid.name", "name_key": "lower(laid.name)"}
    _copied(above, "yards_horse", over, f"laid WHERE src.id = {model}")
    theirs = {"ref": "gen_random_uuid()", "horse_id": "new.id"}
    for table in ("yards_stay", "scoring_standing"):
        joined = "laid JOIN yards_horse new ON new.ref = laid.ref"
        _copied(above, table, theirs, f"{joined} WHERE src.horse_id = {model}")
    above.execute("DROP TABLE laid")


def _copied(above: psycopg.Connection[Any], table: str, over: dict[str, str], beside: str) -> None:
    """Copy rows of a table as they are, but for what is said anew."""
    found = above.execute(
        "SELECT column_name FROM information_schema.columns WHERE table_name = %s"
        " AND table_schema = 'public' AND is_generated = 'NEVER' AND is_identity = 'NO'",
        [table],
    )
    names = [name for (name,) in found]
    said = [sql.SQL(over[n]) if n in over else sql.Identifier("src", n) for n in names]
    above.execute(
        sql.SQL("INSERT INTO {} ({}) SELECT {} FROM {} src, {}").format(
            sql.Identifier(table),
            sql.SQL(", ").join(map(sql.Identifier, names)),
            sql.SQL(", ").join(said),
            sql.Identifier(table),
            sql.SQL(beside),
        )
    )


def bring(environ: dict[str, str], source: dict[str, str], template: str) -> None:
    """As ``prepare``, from a prepared database of another server of ours: a third of the work.

    Both are read and written as the superuser, since the owner sees no rows of any organisation.
    """
    dump = _of_postgres("pg_dump", source, template, "--no-comments")
    _of_postgres("psql", environ, TEMPLATE, "-X", "-q", "-v", "ON_ERROR_STOP=1", said=dump)


def _of_postgres(
    program: str, environ: dict[str, str], database: str, *argv: str, said: str = ""
) -> str:
    host = parse_qs(urlsplit(environ["DATABASE_OWNER_URL"]).query)["host"][0]
    secret = folders.secrets_of(Path(environ["HALFPOINT_DATA"]))["postgres"]
    where = ["-h", host, "-U", "postgres", "-d", database]
    done = subprocess.run(
        [str(programs.found().postgres / program), *where, *argv],
        env={**os.environ, "PGPASSWORD": secret},
        input=said,
        capture_output=True,
        text=True,
        check=False,
    )
    if done.returncode:
        raise RuntimeError(f"{program} failed:\n{done.stderr}")
    return done.stdout
