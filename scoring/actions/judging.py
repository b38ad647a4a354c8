"""Asks the risk rules about one horse, and brings its alerts in line."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime

from scoring.actions import alerts
from scoring.models import Alert, Assessment, Concern, Standing
from scoring.queries import evidence, targets
from scoring.rules import risk, risk_graver, seen
from yards.rules.roles import Viewer

DANGER = frozenset({"danger_signs"})
# Lateness is the morning's to tell; a reading only ends it, or says what is late still.
LATENESS = risk.LATENESS


def judge(
    viewer: Viewer,
    standing: Standing,
    *,
    now: datetime,
    newest: evidence.Newest | None = None,
    orders: targets.Orders | None = None,
    assessment: Assessment | None = None,
    concern: Concern | None = None,
    visited: bool = False,
) -> Sequence[Alert]:
    """Judge a horse after a reading, a concern or another change; return alerts opened or renewed.

    The standing is locked and already says what the reading made of it; ``newest`` is what it was
    settled on, and ``orders`` are the vet's in force, where the caller has them. Danger signs are
    judged only when somebody has looked; a concern tells of nothing else but that somebody did, and
    a visit (``visited``) of that alone. A late reading of an animal that is dead or gone alarms
    nobody.
    """
    horse = standing.horse
    if horse.ended_at is not None:
        return []
    # Only what has just been read was settled on.
    is_reading = newest is not None
    newest = newest or evidence.newest_of(horse.id, now)
    facts = evidence.facts_of_horse(viewer, horse.yard, standing, newest, now=now, orders=orders)
    if assessment is not None:
        facts = replace(facts, came=evidence.score_of_row(assessment))
    looked = assessment or concern
    if looked is not None and looked.danger_signs:
        signs = seen.Signs(looked.corrected_at, looked.received_at, tuple(looked.danger_signs))
        facts = replace(facts, signs=(signs,))
    rules = frozenset(risk.RULES)
    if visited:
        rules = LATENESS
    elif concern is not None:
        rules = DANGER | LATENESS
    elif looked is None:
        rules = rules - DANGER
    found = risk.find(facts, rules)
    if found:
        # What a person resolved matters only to something that was found.
        resolved = evidence.resolved_of([horse.id]).get(horse.id, {})
        found = risk.find(replace(facts, resolved=resolved), rules)
    names = {each.rule for each in found}
    late = {each for each in LATENESS if risk_graver.taken_over(each, names)}
    return alerts.apply(
        viewer,
        horse=horse,
        yard=horse.yard,
        findings=found,
        judged=(risk.judged(facts) & rules) - late,
        now=now,
        assessment=assessment,
        concern=concern,
        is_reading=is_reading,
    )
