"""Oneself, and grants."""

from datetime import datetime

from api.present import forms
from yards.queries.people import GrantCard, Me, PersonName


def person(found: PersonName | None) -> dict[str, object] | None:
    """Return a person by id and name, or null for nobody."""
    return None if found is None else {"id": str(found.id), "name": found.name}


def me(found: Me) -> dict[str, object]:
    """Return who asks, and what they may see."""
    named = person(found.person)
    return {
        "person": None
        if named is None
        else {**named, "email": found.email, "language": found.language},
        "organisation": {
            "id": str(found.organisation),
            "name": found.organisation_name,
            "overall_rule": found.overall_rule,
        },
        "role": found.role,
        "scope": {
            "yards": "all" if found.yards is None else [str(each) for each in found.yards],
            "horses": [str(each) for each in found.horses],
        },
        "expiry": forms.instant(found.expires_at),
    }


def grant(found: GrantCard, now: datetime) -> dict[str, object]:
    """Return one grant, with its state at ``now``."""
    return {
        "id": str(found.ref),
        "person": str(found.person.id),
        "person_name": found.person.name,
        "email": found.email,
        "role": found.role,
        "yards": "all" if found.yards is None else [str(each) for each in found.yards],
        "horses": [str(each) for each in found.horses],
        "from": forms.instant(found.from_at),
        "until": forms.instant(found.until_at),
        "reason": found.reason,
        "registration_number": found.registration_number,
        "register": found.register,
        "record_from": forms.instant(found.record_from),
        "record_until": forms.instant(found.record_until),
        "sees_contacts": found.sees_contacts,
        "sees_clinical": found.sees_clinical,
        "sees_notes": found.sees_notes,
        "confirmed_at": forms.instant(found.confirmed_at),
        "issued_by": person(found.issued_by),
        "issued_at": forms.instant(found.issued_at),
        "revoked_at": forms.instant(found.revoked_at),
        "state": found.state(now),
    }
