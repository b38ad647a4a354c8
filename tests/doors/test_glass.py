"""Break-glass: two people, an hour, told to all, each look entered, and nothing written by it."""

from datetime import UTC, datetime, timedelta

import pytest
from django.db import IntegrityError, transaction

from scoring.actions import letters
from scoring.models import Notice
from tests import cast
from tests.actions.record import entries
from tests.conftest import as_somebody
from tests.doors.test_sight import SEALED, TEASEL, client_of
from yards.access import viewers
from yards.actions import glass, restrictions
from yards.models import GlassBreak
from yards.queries import sight
from yards.rules import errors
from yards.rules.roles import Role, Verb, may

HOUR = timedelta(hours=1)


def test_two_people_break_glass_and_it_ends_by_itself(database: str) -> None:
    now = datetime.now(UTC)
    tobias = cast.ref("tobias")
    with as_somebody("isolde") as viewer:
        restrictions.restrict(viewer, TEASEL, SEALED, now=now)
    with as_somebody("tobias") as asker:
        ref = glass.ask(asker, {"reason": "Horse down"}, now=now)
        with pytest.raises(errors.NotAllowed):
            glass.approve(asker, ref, now=now)
    assert viewers.viewer_of_person(tobias, now, looking=True).glass is None
    with as_somebody("isolde") as approver:
        glass.approve(approver, ref, now=now)
        with pytest.raises(errors.Conflict):
            glass.approve(approver, ref, now=now)
        assert sight.glass_now(approver, now) == (1, 0)
        assert [verb for verb, *_ in entries(ref)] == ["glass.asked", "glass.approved"]
        (told,) = Notice.objects.filter(kind="glass")
        assert told.person_id == cast.ref("isolde")
        order = letters.Order("glass", told.person_id, told.message_id, params=told.params)
        letter = letters.compose(approver, order, now=now)
        assert letter is not None
        assert letter.subject == "Tobias Wren looks at everything, for an hour"
        assert "Horse down" not in letter.body
    looking = viewers.viewer_of_person(tobias, now, looking=True)
    assert (looking.hidden, looking.yards, looking.glass) == (frozenset(), None, ref)
    assert looking.role is Role.AUDITOR
    assert may(looking, Verb.READ_CLINICAL)
    assert looking.expires_at == now + HOUR
    # It widens what is looked at, and nothing that is written or sent.
    writing = viewers.viewer_of_person(tobias, now)
    assert (writing.role, writing.glass, len(writing.hidden)) == (Role.ASSESSOR, None, 1)
    assert client_of("tobias").get(f"/horses/{TEASEL}/").status_code == 200
    with as_somebody("isolde") as reader:
        (look,) = sight.list_looks(reader, horse=TEASEL).items
        assert (look.actor_name, (look.payload or {})["glass"]) == ("Tobias Wren", str(ref))
        assert "glass" in {each.through for each in sight.seers_of(reader, TEASEL, now=now)}
    assert b"under break-glass" in client_of("isolde").get("/people/").content
    assert viewers.viewer_of_person(tobias, now + HOUR, looking=True).glass is None
    with as_somebody("tobias") as asker:
        glass.end(asker, ref, now=now)
    assert viewers.viewer_of_person(tobias, now, looking=True).glass is None


def test_whoever_approves_the_asks_of_others_never_approves_their_own(database: str) -> None:
    now = datetime.now(UTC)
    with as_somebody("isolde") as alone:
        ref = glass.ask(alone, {"reason": "Horse down"}, now=now)
        with pytest.raises(errors.NotAllowed):
            glass.approve(alone, ref, now=now)
    assert viewers.viewer_of_person(cast.ref("isolde"), now, looking=True).glass is None


def test_the_database_holds_two_people_and_an_hour(database: str) -> None:
    now = datetime.now(UTC)
    isolde, maud = cast.ref("isolde"), cast.ref("maud")
    with as_somebody("isolde") as viewer:
        for approver, span in ((isolde, HOUR), (maud, HOUR + timedelta(seconds=1))):
            with pytest.raises(IntegrityError), transaction.atomic():
                GlassBreak.objects.create(
                    organisation_id=viewer.organisation,
                    ref=cast.ref("glass"),
                    person_id=isolde,
                    reason="x",
                    asked_at=now,
                    approved_by_id=approver,
                    approved_at=now,
                    until_at=now + span,
                )
