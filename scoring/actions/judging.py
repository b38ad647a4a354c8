"""Asks the risk rules about one horse, and brings its alerts in line."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime

from scoring.actions import alerts
from scoring.models import Alert, Assessment, Concern, Standing
from scoring.queries import evidence
from scoring.rules import risk, seen
from yards.rules.roles import Viewer

DANGER = frozenset({"danger_signs"})
# Lateness is the morning's to tell; a reading only ends it.
LATENESS = frozenset({"overdue"})


def judge(
    viewer: Viewer,
    standing: Standing,
    *,
    now: datetime,
    assessment: Assessment | None = None,
    concern: Concern | None = None,
) -> Sequence[Alert]:
    """Judge a horse after a reading, a concern or another change; return alerts opened or renewed.

    The standing is locked and already says what the reading made of it. Danger signs are judged
    only when somebody has looked; a concern tells of nothing else.
    """
    horse = standing.horse
    facts = evidence.facts_of_yard(viewer, horse.yard, [standing], now=now)[horse.id]
    looked = assessment or concern
    if looked is not None and looked.danger_signs:
        signs = seen.Signs(looked.corrected_at, looked.received_at, tuple(looked.danger_signs))
        facts = replace(facts, signs=(signs,))
    rules = frozenset(risk.RULES)
    if concern is not None:
        rules = DANGER
    elif looked is None:
        rules = rules - DANGER
    found = risk.find(facts, rules)
    late = {each.rule for each in found} & LATENESS
    return alerts.apply(
        viewer,
        horse=horse,
        yard=horse.yard,
        findings=[each for each in found if each.rule not in late],
        judged=(risk.judged(facts) & rules) - late,
        now=now,
        assessment=assessment,
        concern=concern,
    )
