"""The wall stands in the migrated database, and nothing serves on one where it does not."""

import subprocess
import sys

import psycopg
from django.conf import settings

from deploy.launch.programs import BASE
from yards.isolation import catalog

HOLE = "ALTER TABLE yards_yard NO FORCE ROW LEVEL SECURITY"
WORKER = ("celery", "-A", "deploy.celery", "worker", "--pool=solo", "--without-mingle")


def test_the_catalog_gate_finds_no_fault(database: str) -> None:
    assert catalog.faults(settings.TABLE_CLASSES) == []


def test_a_worker_ends_at_once_on_a_database_with_one_hole(environment: dict[str, str]) -> None:
    """A real worker, with the real broker there: only the wall is broken."""
    with psycopg.connect(environment["DATABASE_OWNER_URL"], autocommit=True) as owner:
        owner.execute(HOLE)
    ran = subprocess.run(
        [sys.executable, "-m", *WORKER],
        cwd=BASE,
        env={**environment, "DJANGO_SETTINGS_MODULE": "deploy.settings"},
        capture_output=True,
        text=True,
        timeout=60,
        check=False,
    )
    assert ran.returncode == 1
    assert "the worker refuses to start: table yards_yard has no forced" in ran.stderr
