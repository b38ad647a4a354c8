"""The watch's own reading goes the whole way, leaves nothing behind, and fails where that does."""

from collections.abc import Iterator
from datetime import timedelta
from typing import Any

import pytest
from django.conf import settings

from scoring import tasks
from scoring.actions import assessments, deliver, notices, rehearsal
from scoring.models import Alert, Assessment, Notice, Timer
from tests import alarms, cast, mailbox
from tests.alarms import NOW
from tests.doors import counting
from yards import isolation
from yards.models import Entry, Horse, Organisation, User, Yard
from yards.queries import pulses
from yards.rules import silence
from yards.rules.roles import Role, Viewer

pytestmark = pytest.mark.usefixtures("database")
OWN = Viewer(organisation=rehearsal.ORGANISATION, role=Role.SYSTEM)


@pytest.fixture
def box() -> Iterator[mailbox.Mailbox]:
    with mailbox.opened() as found:
        yield found


def states() -> list[tuple[str, str]]:
    with isolation.of(OWN):
        return list(Notice.objects.values_list("kind", "state"))


def test_it_leaves_one_message_and_nothing_else_however_often() -> None:
    for number in range(3):
        rehearsal.rehearse(now=NOW + timedelta(minutes=number))
    assert states() == [("reminder", "pending")]
    with isolation.of(OWN):
        for model in (Yard, Horse, Assessment, Alert, Timer):
            assert not model.objects.exists(), model
        assert Entry.objects.count() == 1  # that the organisation was made


def test_nobody_sees_it_and_nothing_of_theirs_changes() -> None:
    before = counting.rows()
    rehearsal.rehearse(now=NOW)
    after = counting.rows()
    assert {name for name in after if after[name] != before[name]} == {"yards_user"}
    for key in ("isolde", "perran"):
        with isolation.door(person=cast.ref(key)):
            assert not Organisation.objects.filter(id=rehearsal.ORGANISATION).exists()
    assert not User.objects.get(email=rehearsal.ADDRESS).has_usable_password()


def test_its_message_is_claimed_and_the_mail_server_called_but_sent_nothing(
    box: mailbox.Mailbox,
) -> None:
    rehearsal.rehearse(now=NOW)
    assert deliver.deliver_due(now=NOW) == 1
    assert (states(), box.taken) == ([("reminder", "sent")], [])
    rehearsal.rehearse(now=NOW + timedelta(minutes=1))
    assert deliver.deliver_due(now=NOW + timedelta(minutes=1)) == 1


def test_it_is_sent_to_the_operator_who_asks_for_it_each_time_anew(
    box: mailbox.Mailbox, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(settings, "WATCH_MAIL_TO", "ops@example.org")
    for number in range(2):
        now = NOW + timedelta(minutes=number)
        rehearsal.rehearse(now=now)
        assert deliver.deliver_due(now=now) == 1
    first, second = box.to("ops@example.org")
    assert first["Message-ID"] != second["Message-ID"]


def test_a_mail_server_that_is_away_leaves_no_sign_of_life(box: mailbox.Mailbox) -> None:
    rehearsal.rehearse(now=NOW)
    with mailbox.nobody_there():
        tasks.deliver_notices()
    assert silence.MAIL not in pulses.pulses()
    rehearsal.rehearse(now=NOW + timedelta(seconds=45))
    tasks.deliver_notices()
    assert pulses.pulses()[silence.MAIL].age_s < 60


def test_a_reading_that_comes_to_no_alert_is_an_error(monkeypatch: pytest.MonkeyPatch) -> None:
    def forgotten(*_args: Any, **_facts: Any) -> list[Alert]:
        return []

    monkeypatch.setattr("scoring.actions.alerts.apply", forgotten)
    with pytest.raises(rehearsal.NoAlert, match="no alert"):
        rehearsal.rehearse(now=NOW)


def test_an_alert_that_comes_to_no_message_is_an_error(monkeypatch: pytest.MonkeyPatch) -> None:
    def unwritten(*_args: Any, **_facts: Any) -> None:
        return None

    monkeypatch.setattr(notices, "write", unwritten)
    with pytest.raises(rehearsal.NoAlert, match="no message"):
        rehearsal.rehearse(now=NOW)


def test_the_reading_is_of_the_kind_that_is_told_at_any_hour(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    severities: list[str] = []
    real = assessments.record_assessment

    def listened(*args: Any, **facts: Any) -> Any:
        answer = real(*args, **facts)
        severities.extend(each.severity for each in answer.alerts)
        return answer

    monkeypatch.setattr(assessments, "record_assessment", listened)
    rehearsal.rehearse(now=NOW.replace(hour=2))
    assert "urgent" in severities
    assert alarms.NOW == NOW
