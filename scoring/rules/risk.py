"""The registry of risk rules: pure functions of facts, whose thresholds are data with sources.

A rule finds or finds nothing; it never diagnoses. Thresholds: ``fixtures/risk_rules.json``.
"""

from collections.abc import Callable, Collection

from scoring.rules import risk_danger, risk_fat, risk_overdue, risk_thin, threshold
from scoring.rules.finding import ACT, URGENT, WATCH, Finding, Message
from scoring.rules.risk_facts import Facts

Rule = Callable[[Facts], Finding | None]

# Gravest first.
RULES: dict[str, Rule] = {
    risk_thin.EMACIATED: risk_thin.emaciated,
    risk_danger.DANGER_SIGNS: risk_danger.danger_signs,
    risk_thin.LOSING_FAST: risk_thin.losing_fast,
    risk_fat.FAT_IN_SPRING: risk_fat.fat_in_spring,
    risk_fat.CREST_RAISED: risk_fat.crest_raised,
    risk_overdue.OVERDUE: risk_overdue.overdue,
}
PROTECTS_LIFE = frozenset(name for name in RULES if threshold.rule(name)["protects_life"])


def find(facts: Facts, rules: Collection[str] = tuple(RULES)) -> tuple[Finding, ...]:
    """Return what the rules find, gravest first.

    What a person resolved is found again only on newer evidence (``facts.resolved``), except what
    is overdue, which is newer every day.
    """
    found = (rule(facts) for name, rule in RULES.items() if name in rules)
    return tuple(each for each in found if each is not None and not _answered(facts, each))


def _answered(facts: Facts, finding: Finding) -> bool:
    resolved = facts.resolved.get(finding.rule)
    seen_at = finding.evidence_at
    return resolved is not None and seen_at is not None and seen_at <= resolved


def judged(facts: Facts) -> frozenset[str]:
    """Return the rules that the facts are enough for: only these may clear an alert.

    A visual-only reading, for one, says nothing against a fat score that was felt before.
    """
    enough = {
        risk_thin.EMACIATED: facts.newest is not None and facts.newest.says_something,
        risk_danger.DANGER_SIGNS: True,
        risk_thin.LOSING_FAST: bool(facts.weights),
        risk_fat.FAT_IN_SPRING: facts.palpated is not None,
        risk_fat.CREST_RAISED: facts.crest is not None,
        risk_overdue.OVERDUE: facts.score_due_at is not None,
    }
    return frozenset(name for name, holds in enough.items() if holds)


__all__ = [
    "ACT",
    "PROTECTS_LIFE",
    "RULES",
    "URGENT",
    "WATCH",
    "Facts",
    "Finding",
    "Message",
    "find",
    "judged",
]
