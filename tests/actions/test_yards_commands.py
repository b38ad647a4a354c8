"""The server's own commands, run as an administrator runs them."""

import io
import os
import pty
import subprocess
import sys
from pathlib import Path
from uuid import UUID

import psycopg
import pytest
from django.core.management import CommandError, call_command

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
    # At the full cost, which the tests' own hashes are spared: 100 MiB, twice over.
    assert person.password.startswith("argon2$argon2id$v=19$m=102400,t=2,p=8$")
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


def test_a_weak_password_or_a_bad_address_makes_nothing(
    database: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    words = ("make_organisation", "Wrack Shore Rescue", "senara@example.org", "Senara Pole")
    monkeypatch.setattr(sys, "stdin", io.StringIO("password\n"))
    with pytest.raises(CommandError, match="at least 12"):
        call_command(*words, "--password-stdin")
    with pytest.raises(CommandError, match="not_an_email"):
        call_command(*words[:2], "senara", words[3])
    assert not User.objects.filter(name="Senara Pole").exists()


def test_the_wall_is_checked_by_command_and_a_hole_fails_it(environment: dict[str, str]) -> None:
    assert run(environment, "check_isolation").returncode == 0
    with psycopg.connect(environment["DATABASE_OWNER_URL"]) as owner:
        owner.execute("DROP POLICY inside ON yards_horse")
    with pytest.raises(CommandError, match="table yards_horse has no forced row security or no po"):
        call_command("check_isolation")
