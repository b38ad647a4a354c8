"""What a grant adds and bounds, what of an entry is told, where a record has gaps."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from typing import Any
from uuid import uuid4

import pytest

from scoring.rules import gaps
from yards.rules import errors, grant, invitation, said
from yards.rules.roles import MAY, SIGHTS, Role, Verb, Viewer, may

NOW = datetime(2026, 4, 12, 10, 0, tzinfo=UTC)
DAY = timedelta(days=1)
OFFICER = Viewer(organisation=uuid4(), role=Role.AUDITOR, person=uuid4())


def test_an_auditor_sees_no_contacts_and_no_notes_unless_the_grant_says_so() -> None:
    for verb in SIGHTS.values():
        assert not may(OFFICER, verb)
        assert may(replace(OFFICER, extra=frozenset({verb})), verb)


def test_a_part_of_the_record_opens_no_state_of_today_and_no_ledger() -> None:
    insurer = replace(OFFICER, record_until=NOW)
    held = {verb for verb in Verb if may(insurer, verb)}
    assert held < {verb for verb in Verb if may(OFFICER, verb)}
    assert Verb.READ_READINGS in held
    assert Verb.READ_DESK in held
    closed = {Verb.READ_STANDING, Verb.READ_ALERTS, Verb.READ_LEDGER, Verb.READ_RULES}
    assert not held & closed


def test_whoever_looks_in_need_is_watched_as_an_auditor_is() -> None:
    coordinator = Viewer(organisation=uuid4(), role=Role.COORDINATOR, person=uuid4())
    assert OFFICER.is_watched
    assert not coordinator.is_watched
    assert replace(coordinator, glass=uuid4()).is_watched


def test_only_coordinators_approve_and_whoever_may_enter_may_ask() -> None:
    approve = {role for role, verbs in MAY.items() if Verb.APPROVE_BREAKING_GLASS in verbs}
    ask = {role for role, verbs in MAY.items() if Verb.ASK_TO_BREAK_GLASS in verbs}
    assert approve == {Role.COORDINATOR}
    assert ask == {Role.COORDINATOR, Role.VET, Role.ASSESSOR, Role.AUDITOR}


def body(**other: Any) -> dict[str, Any]:
    return {"person": str(uuid4()), "role": "auditor", "yards": "all", **other}


def faults(raw: dict[str, Any]) -> list[tuple[str, str]]:
    with pytest.raises(errors.Invalid) as refused:
        grant.check(raw, now=NOW)
    return [(each.field, each.key) for each in refused.value.errors]


def test_only_an_auditors_grant_bounds_or_widens_sight() -> None:
    window = {"record_from": "2026-01-01T00:00:00Z", "record_until": "2026-03-01T00:00:00Z"}
    assert grant.check(body(**window, sees_notes=True), now=NOW).sees_notes
    told = faults(body(role="assessor", **window, sees_contacts=True))
    only = "only_for_auditors"
    assert told == [("record_from", only), ("record_until", only), ("sees_contacts", only)]
    turned = {"record_from": window["record_until"], "record_until": window["record_from"]}
    assert faults(body(**turned)) == [("record_until", "ends_before_it_begins")]


def test_a_grant_that_bounds_nothing_is_replayed_as_before_there_were_bounds() -> None:
    assert not grant.SIGHT & set(grant.check(body(), now=NOW).content())


def test_an_invitation_leads_to_a_grant_with_the_same_bounds() -> None:
    bounds = {"record_until": "2026-03-01T00:00:00Z", "sees_notes": True}
    raw = {**body(**bounds), "email": "lark@example.org"}
    del raw["person"]
    offered = invitation.check(raw, now=NOW).body()
    again = grant.check({**offered, "person": str(uuid4())}, now=NOW)
    assert again.record_until == datetime(2026, 3, 1, tzinfo=UTC)
    assert (again.sees_notes, again.sees_contacts, again.record_from) == (True, False, None)


def test_an_entry_is_told_without_contacts_and_free_words() -> None:
    whole = {"email": "m@example.org", "role": "vet", "after": {"note": "dull", "name": "Teasel"}}
    kept, withheld = said.told(whole, "grant.issued", contacts=False, notes=False)
    assert (kept, withheld) == ({"role": "vet", "after": {"name": "Teasel"}}, True)
    assert said.told(whole, "grant.issued", contacts=True, notes=True) == (whole, False)
    why = {"reason": "misread"}
    assert said.told(why, "assessment.corrected", contacts=False, notes=False) == (why, False)
    assert said.told(why, "alert.resolved", contacts=False, notes=False) == ({}, True)


def test_gaps_are_between_readings_and_after_the_last() -> None:
    days = [0, 10, 10 + 62, 10 + 62 + 61]
    found = gaps.gaps([NOW + each * DAY for each in days], NOW + 200 * DAY)
    assert [each.days for each in found] == [62, 67]
    assert gaps.gaps([], NOW) == ()
    assert gaps.gaps([NOW + DAY], NOW) == ()
