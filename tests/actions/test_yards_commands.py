"""The server's own commands, run as an administrator runs them."""

import os
import pty
import subprocess
import sys
from pathlib import Path
from uuid import UUID

import psycopg

from tests import cast
from tests.actions.record import NOW
from yards.access import viewers
from yards.models import User
from yards.rules.roles import Role

ROOT = Path(__file__).resolve().parents[2]


def run(
    environment: dict[str, str], *words: str, typed: str = ""
) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "manage.py", *words],
        cwd=ROOT,
        env=environment,
        input=typed,
        capture_output=True,
        text=True,
        check=False,
    )


def test_an_organisation_is_made_and_its_coordinator_may_enter(
    environment: dict[str, str],
) -> None:
    words = ("make_organisation", "Wrack Shore Rescue", "senara@example.org", "Senara Pole")
    done = run(environment, *words, "--password-stdin", typed=f"{cast.PASSWORD}\n")
    assert done.returncode == 0, done.stderr
    person = User.objects.get(email="senara@example.org")
    assert person.check_password(cast.PASSWORD)
    later = NOW.replace(year=2098)
    viewer = viewers.viewer_of_person(person.id, later)
    assert (viewer.organisation, viewer.role) == (UUID(done.stdout.strip()), Role.COORDINATOR)


def test_at_a_terminal_the_password_is_asked_for_and_not_shown(
    environment: dict[str, str],
) -> None:
    ours, theirs = pty.openpty()
    words = ("make_organisation", "Wrack Shore Rescue", "senara@example.org", "Senara Pole")
    with subprocess.Popen(
        [sys.executable, "manage.py", *words, "--password-stdin"],
        cwd=ROOT,
        env=environment,
        stdin=theirs,
        stdout=subprocess.PIPE,
        stderr=theirs,
        start_new_session=True,
    ) as running:
        shown = b""
        while b"senara@example.org: " not in shown:
            shown += os.read(ours, 1000)
        os.write(ours, f"{cast.PASSWORD}\n".encode())
        assert running.wait(60) == 0
    os.close(theirs)
    assert cast.PASSWORD.encode() not in shown + os.read(ours, 1000)
    os.close(ours)
    assert User.objects.get(email="senara@example.org").check_password(cast.PASSWORD)


def test_a_weak_password_or_a_bad_address_makes_nothing(environment: dict[str, str]) -> None:
    words = ("make_organisation", "Wrack Shore Rescue", "senara@example.org", "Senara Pole")
    weak = run(environment, *words, "--password-stdin", typed="password\n")
    bad = run(environment, *words[:2], "senara", words[3])
    assert (weak.returncode, bad.returncode) == (1, 1)
    assert "12" in weak.stderr
    assert "not_an_email" in bad.stderr
    assert not User.objects.filter(name="Senara Pole").exists()


def test_the_wall_is_checked_by_command_and_a_hole_fails_it(environment: dict[str, str]) -> None:
    assert run(environment, "check_isolation").returncode == 0
    with psycopg.connect(environment["DATABASE_OWNER_URL"]) as owner:
        owner.execute("DROP POLICY inside ON yards_horse")
    broken = run(environment, "check_isolation")
    assert broken.returncode == 1
    assert "table yards_horse has no forced row security or no policy" in broken.stderr
