"""Alerts, with what each says in the reader's language."""

from collections.abc import Mapping
from typing import Any

from api.present import forms, people
from scoring.queries import wording
from scoring.queries.alerts import AlertCard
from scoring.queries.assessments import SeenAlert
from yards.queries.yards import VetContact


def _vet(found: VetContact) -> dict[str, object]:
    return {
        "practice": found.practice,
        "phone": found.phone,
        "out_of_hours_phone": found.out_of_hours_phone,
        "second_phone": found.second_phone,
    }


def _words(said: Mapping[str, Any]) -> dict[str, object]:
    words = wording.finding(said)
    return {
        "reason": words.reason,
        "evidence": list(words.evidence),
        "advice": words.advice,
        "what_not_to_do": words.what_not_to_do,
    }


def seen(found: SeenAlert) -> dict[str, object]:
    """Return an alert as it stood when a reading opened or renewed it."""
    return {
        "id": str(found.id),
        "horse": str(found.horse),
        "yard": str(found.yard),
        "rule": found.rule,
        "severity": found.severity,
        "state": found.state,
        "opened_at": forms.instant(found.opened_at),
        **_words(found.said),
        "not_known": list(wording.not_known(found.rule)),
        "vet": _vet(found.vet),
        "version": found.version,
    }


def alert(found: AlertCard) -> dict[str, object]:
    """Return an alert as it stands now."""
    return {
        "id": str(found.id),
        "horse": str(found.horse),
        "yard": str(found.yard),
        "rule": found.rule,
        "severity": found.severity,
        "state": found.state,
        "opened_at": forms.instant(found.opened_at),
        "seen_at": forms.instant(found.seen_at),
        "unasked_since": forms.instant(found.unasked_since),
        **_words(found.said),
        "not_known": list(wording.not_known(found.rule)),
        "vet": _vet(found.vet),
        "owner": people.person(found.owner),
        "exhausted_at": forms.instant(found.exhausted_at),
        "next_at": forms.instant(found.next_at),
        "escalated_at": forms.instant(found.escalated_at),
        "acknowledged_at": forms.instant(found.acknowledged_at),
        "acknowledged_by": people.person(found.acknowledged_by),
        "note": found.note,
        "next_step": found.next_step,
        "by": forms.instant(found.next_step_by),
        "snoozed_until": forms.instant(found.snoozed_until),
        "snooze_reason": found.snooze_reason,
        "snoozed_by": people.person(found.snoozed_by),
        "resolved_at": forms.instant(found.resolved_at),
        "resolved_by": people.person(found.resolved_by),
        "resolution": forms.chosen(found.resolution),
        "resolve_reason": found.resolve_reason,
        "vet_said": found.vet_said,
        "version": found.version,
    }
