"""Alerts for tests: raised through the real actions, on horses of the cast."""

from collections.abc import Iterable
from datetime import UTC, datetime, timedelta
from typing import Any

import uuid_utils.compat as uuid_utils

from scoring.actions import alerts
from scoring.models import Alert, Assessment, Assessor, Notice, Standing, Timer
from scoring.rules import policy, risk
from tests import cast
from yards import isolation
from yards.models import Entry, EntryPayload, Horse, Yard
from yards.rules.roles import Role, Viewer

# A Tuesday, 11:00 in Top Barn, in spring.
NOW = datetime(2026, 4, 14, 10, 0, tzinfo=UTC)
# How often the last rung of a default ladder is repeated.
EVERY = {severity: each.every for severity, each in policy.DEFAULT.items()}
SYSTEM = Viewer(organisation=cast.ref(cast.QUILLET), role=Role.SYSTEM, via="task")


def horse(name: str) -> Horse:
    """Return a horse of the cast; an organisation must be open."""
    return Horse.objects.select_related("yard").get(ref=cast.ref(name))


def yard(name: str) -> Yard:
    """Return a yard of the cast."""
    return Yard.objects.get(ref=cast.ref(name))


def standing_of(animal: Horse, **facts: Any) -> Standing:
    """Return the horse's standing, made when there is none; facts are written to it."""
    made, _ = Standing.objects.get_or_create(
        organisation_id=animal.organisation_id,
        horse=animal,
        defaults={
            "ref": animal.ref,
            "yard": animal.yard,
            "score_days": 28,
            "weight_days": 28,
            "score_due_at": NOW + timedelta(days=300),
            "weight_due_at": NOW + timedelta(days=300),
            "updated_at": NOW,
        },
    )
    if facts:
        Standing.objects.filter(id=made.id).update(**facts)
        made.refresh_from_db()
    return made


def finding(
    rule: str = "fat_in_spring", severity: str = "act", overall: str = "4.17"
) -> risk.Finding:
    """Return a finding as the rules make them."""
    params = {"overall": overall, "nearest": "4.0", "regions": "back_and_ribs", "scale": "five"}
    return risk.Finding(
        rule=rule,
        severity=severity,
        reason=risk.Message("fat_in_spring", params),
        evidence=(risk.Message("yard_is_in_spring", {"years": "2026"}),),
        advice=risk.Message("call_vet_laminitis_risk"),
        what_not_to_do=risk.Message("never_starve"),
        source="a test",
        evidence_at=NOW,
    )


def raised(
    viewer: Viewer, name: str, *findings: risk.Finding, now: datetime = NOW, **facts: Any
) -> list[Alert]:
    """Apply findings to a horse of the cast, judging their rules and ``judged``."""
    animal = horse(name)
    standing_of(animal)
    judged = {each.rule for each in findings} | set(facts.pop("judged", ()))
    return alerts.apply(
        viewer,
        horse=animal,
        yard=animal.yard,
        findings=findings,
        judged=frozenset(judged),
        now=now,
        **facts,
    )


def scored(name: str, *halves: int, at: datetime, **facts: Any) -> Assessment:
    """Write a palpated three-region reading of a horse of the cast, in half points."""
    return scored_by_row(horse(name), *halves, at=at, **facts)


def scored_by_row(animal: Horse, *halves: int, at: datetime, **facts: Any) -> Assessment:
    """Write a palpated three-region reading, in half points, as it stands in the table."""
    hand, _ = Assessor.objects.get_or_create(
        organisation_id=animal.organisation_id,
        person_id=cast.ref("isolde"),
        defaults={"ref": uuid_utils.uuid7(), "name": "x", "kind": "staff", "created_at": NOW},
    )
    neck, back, hind = halves
    return Assessment.objects.create(
        organisation_id=animal.organisation_id,
        ref=uuid_utils.uuid7(),
        horse=animal,
        yard=animal.yard,
        assessor=hand,
        recorded_by_id=cast.ref("isolde"),
        taken_at=at,
        received_at=at,
        corrected_at=at,
        content_digest=b"",
        scale_version=1,
        **{
            "scale": "five",
            "manner": "palpated",
            "neck": neck,
            "back": back,
            "hind": hind,
            **facts,
        },
    )


def told(rows: Iterable[Notice] | None = None) -> set[tuple[str, str]]:
    """Return (kind, who) of notices, all by default."""
    found = Notice.objects.select_related("person") if rows is None else rows
    return {(row.kind, row.person.email.partition("@")[0]) for row in found}


def running() -> list[tuple[str, datetime | None]]:
    """Return the timers that still run, by time."""
    rows = Timer.objects.filter(due_at__isnull=False).order_by("due_at", "id")
    return list(rows.values_list("kind", "due_at"))


def entries(*verbs: str) -> list[tuple[str, str, bytes]]:
    """Return (verb, actor, payload) of the ledger's entries with one of these verbs."""
    found = Entry.objects.filter(verb__in=verbs).order_by("id")
    payloads = dict(EntryPayload.objects.values_list("entry_id", "payload"))
    return [(each.verb, each.actor, bytes(payloads[each.id])) for each in found]


def as_system() -> Any:
    """Open the cast's first organisation as the system."""
    return isolation.of(SYSTEM)
