"""Two who change who is let in: the second waits for the first, and neither holds up the other.

Each with a connection of its own. Whoever is first has begun and holds what all of them take first;
the other is started, and waits; only then does the first go on.
"""

import time
from collections.abc import Callable, Iterator
from concurrent.futures import Future, ThreadPoolExecutor
from contextlib import AbstractContextManager
from typing import Any

import pytest
from django.db import connection

from tests import cast, factories
from tests.actions.record import NOW
from tests.conftest import as_somebody
from yards.access.invited import Invited
from yards.actions import erasing, grants, invitations, joining
from yards.models import Grant, User
from yards.queries import erasing as queries
from yards.rules.roles import Viewer

Inside = Callable[..., AbstractContextManager[Viewer]]
NEW = cast.ref("new grant")
TOBIAS = cast.ref("tobias")
EMAIL = "jory.penn@example.org"
WAITS_FOR_ME = """SELECT count(*) FROM pg_locks
    WHERE NOT granted AND pg_backend_pid() = ANY (pg_blocking_pids(pid))"""


def wait_until_it_waits() -> None:
    until = time.monotonic() + 30
    with connection.cursor() as cursor:
        while True:
            cursor.execute(WAITS_FOR_ME)
            if cursor.fetchone()[0]:
                return
            assert time.monotonic() < until, "nobody waits"
            time.sleep(0.02)


@pytest.fixture
def pool() -> Iterator[ThreadPoolExecutor]:
    with ThreadPoolExecutor(1) as beside:
        yield beside


def begun(viewer: Viewer, pool: ThreadPoolExecutor, other: Callable[[], Any]) -> Future[Any]:
    """Begin as each change does, and have the other one come meanwhile."""

    def beside() -> Any:
        try:
            return other()
        finally:
            connection.close()

    grants.one_at_a_time(viewer)
    came = pool.submit(beside)
    wait_until_it_waits()
    return came


def test_a_coordinator_is_erased_while_another_ends_their_grant(
    inside: Inside, pool: ThreadPoolExecutor
) -> None:
    with inside("isolde") as viewer:
        for key, ref in (("tobias", NEW), ("maud", cast.ref("another"))):
            factories.GrantFactory.create(
                organisation_id=viewer.organisation,
                ref=ref,
                person_id=cast.ref(key),
                role="coordinator",
                all_yards=True,
            )

    def end() -> bool:
        with as_somebody("maud") as other:
            return grants.revoke_grant(other, NEW, {"reason": "Left"}, now=NOW).replay

    with inside("isolde") as viewer:
        ended = begun(viewer, pool, end)
        erasing.erase(viewer, TOBIAS, {"reason": "Asked for it", "understood": True}, now=NOW)
    assert ended.result(timeout=30), "it had ended already"
    with inside("isolde") as viewer:
        assert queries.count_grants(viewer, TOBIAS, NOW) == 0
        assert Grant.objects.get(ref=NEW).revoked_by_id == viewer.person


def test_somebody_new_comes_in_while_another_lets_in_the_same_address(
    inside: Inside, pool: ThreadPoolExecutor
) -> None:
    """A person who is being made is waited for by their address, too."""
    offered: dict[str, Any] = {"role": "assessor", "yards": "all", "reason": "Summer help"}
    with inside("isolde") as viewer:
        made = invitations.invite(viewer, {"email": EMAIL, **offered}, now=NOW)
        invited = Invited(viewer.organisation, made.ref, EMAIL, cast.ref("isolde"))

    def join() -> Any:
        return joining.join_as_new(invited, name="Jory Penn", password="long enough it is", now=NOW)

    with inside("isolde") as viewer:
        joined = begun(viewer, pool, join)
        grants.issue_grant(viewer, {"person": EMAIL, "name": "Jory", **offered}, now=NOW)
    assert joined.result(timeout=30) == User.objects.get(email=EMAIL).pk
    with inside("isolde"):
        assert Grant.objects.filter(person__email=EMAIL).count() == 2
