"""An invitation as it comes in: the grant's own rules, and a link that never outlives the grant."""

from datetime import UTC, datetime, timedelta
from typing import Any

import pytest

from yards.rules import errors, invitation

NOW = datetime(2026, 5, 1, 9, tzinfo=UTC)
ASKED = {"email": "Vet@Example.org", "role": "assessor", "yards": "all"}


def faults(**changes: Any) -> set[tuple[str, str]]:
    """What is refused, by field and key."""
    with pytest.raises(errors.Invalid) as refused:
        invitation.check({**ASKED, **changes}, now=NOW)
    return {(each.field, each.key) for each in refused.value.errors}


def test_a_link_opens_for_three_days_and_never_longer_than_the_grant() -> None:
    facts = invitation.check(ASKED, now=NOW)
    assert facts.email == "vet@example.org"
    assert facts.expires_at(NOW) == NOW + timedelta(hours=72)
    evening = NOW + timedelta(hours=11)
    for_today = invitation.check({**ASKED, "until": evening.isoformat()}, now=NOW)
    assert for_today.expires_at(NOW) == evening
    assert invitation.check({**ASKED, "hours": 24}, now=NOW).expires_at(NOW) == NOW + timedelta(1)


def test_what_it_offers_is_kept_as_the_contract_has_it() -> None:
    until = NOW + timedelta(days=1)
    body = invitation.check({**ASKED, "until": until.isoformat()}, now=NOW).body()
    assert body == {"role": "assessor", "until": "2026-05-02T09:00:00.000000+00:00", "yards": "all"}


def test_faults_of_both_are_named_together() -> None:
    assert faults(email="", role="vet", yards="all") == {
        ("email", "required"),
        ("registration_number", "required"),
        ("register", "required"),
    }
    assert faults(hours=0) == {("hours", "out_of_range")}
    assert faults(hours=15 * 24) == {("hours", "out_of_range")}
    assert faults(until=NOW.isoformat()) >= {("until", "ends_before_it_begins")}
    assert faults(person="00000000-0000-7000-8000-000000000000") == {("person", "unknown_field")}
    assert faults(colour="red") == {("colour", "unknown_field")}
