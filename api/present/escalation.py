"""Escalation policies, absences, comments."""

from api.present import forms, people
from scoring.queries import policy_words
from scoring.queries.absences import AbsenceCard
from scoring.queries.alert_acts import Act
from scoring.queries.policies import PolicyCard, Preview
from scoring.rules import policy_input


def policy(found: PolicyCard) -> dict[str, object]:
    """Return the ladder of one severity."""
    return {
        "severity": found.policy.severity,
        **policy_input.said(found.policy),
        "words": policy_words.steps(found.policy, found.names),
        "is_own": found.is_own,
        "reason": found.reason,
        "set_by": people.person(found.set_by),
        "set_at": forms.instant(found.set_at),
        "version": found.version,
    }


def preview(found: Preview) -> dict[str, object]:
    """Return what a ladder would come to."""
    return {
        "yard": forms.ref(found.yard),
        "opened_at": forms.instant(found.opened_at),
        "moments": [
            {
                "at": forms.instant(each.at),
                "step": each.rung,
                "is_repeat": each.is_repeat,
                "people": [people.person(one) for one in each.people],
            }
            for each in found.steps
        ],
        "unreached": [{"step": each.rung, "yards": list(each.yards)} for each in found.unreached],
    }


def absence(found: AbsenceCard) -> dict[str, object]:
    """Return one absence."""
    return {
        "id": str(found.id),
        "person": people.person(found.person),
        "from": forms.instant(found.from_at),
        "until": forms.instant(found.until),
        "reason": found.reason,
        "set_by": people.person(found.set_by),
        "ended_at": forms.instant(found.ended_at),
    }


def comment(found: Act) -> dict[str, object]:
    """Return one comment."""
    return {
        "id": str(found.id),
        "alert": str(found.alert),
        "at": forms.instant(found.at),
        "by": people.person(found.by),
        "text": found.text,
    }
