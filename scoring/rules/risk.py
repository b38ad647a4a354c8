"""The registry of risk rules: pure functions of facts, whose thresholds are data with sources.

A rule finds or finds nothing; it never diagnoses. Thresholds: ``fixtures/risk_rules.json``.
"""

from collections.abc import Callable, Collection

from scoring.rules import (
    risk_apart,
    risk_appetite,
    risk_breeding,
    risk_danger,
    risk_fat,
    risk_graver,
    risk_keys,
    risk_loss,
    risk_overdue,
    risk_plan,
    risk_regional,
    risk_thin,
    risk_trend,
    seen,
    threshold,
)
from scoring.rules.finding import ACT, URGENT, WATCH, Finding, Message, rank
from scoring.rules.risk_facts import Facts

Rule = Callable[[Facts], Finding | None]

# Gravest first.
RULES: dict[str, Rule] = {
    risk_thin.EMACIATED: risk_thin.emaciated,
    risk_danger.DANGER_SIGNS: risk_danger.danger_signs,
    risk_appetite.OFF_FEED: risk_appetite.off_feed,
    risk_loss.LOSING_FAST: risk_loss.losing_fast,
    risk_breeding.LOSS_IN_FOAL_OR_MILK: risk_breeding.loss_in_foal_or_milk,
    risk_trend.LOSING_WEIGHT: risk_trend.losing_weight,
    risk_trend.LOSING_SCORE: risk_trend.losing_score,
    risk_fat.FAT_IN_SPRING: risk_fat.fat_in_spring,
    risk_fat.FAT: risk_fat.fat,
    risk_regional.CREST_RAISED: risk_regional.crest_raised,
    risk_regional.REGION_FAR_ABOVE: risk_regional.region_far_above,
    risk_fat.ABOVE_BAND: risk_fat.above_band,
    risk_thin.THIN: risk_thin.thin,
    risk_thin.BELOW_BAND_TWICE: risk_thin.below_band_twice,
    risk_trend.GAINING_FAST: risk_trend.gaining_fast,
    risk_plan.PLAN_OFF_TRACK: risk_plan.plan_off_track,
    risk_apart.ASSESSORS_APART: risk_apart.assessors_apart,
    risk_appetite.HYPERLIPAEMIA_WATCH: risk_appetite.hyperlipaemia_watch,
    risk_overdue.NEVER_SCORED: risk_overdue.never_scored,
    risk_overdue.OVERDUE: risk_overdue.overdue,
}
PROTECTS_LIFE = frozenset(name for name in RULES if threshold.rule(name)["protects_life"])
# Newer every day; the morning tells them, and a reading only ends them.
LATENESS = frozenset({risk_overdue.OVERDUE, risk_overdue.NEVER_SCORED})


def find(facts: Facts, rules: Collection[str] = tuple(RULES)) -> tuple[Finding, ...]:
    """Return what the rules find, gravest first, each thing told once.

    Rules that the organisation switched off find nothing, but for those that protect life. What a
    person resolved is found again only on newer evidence (``facts.resolved``), when it is graver
    now, or when a risk is known that was not; except lateness, which is newer every day.
    """
    used = (rule for name, rule in RULES.items() if name in rules and _is_used(facts, name))
    found = (rule(facts) for rule in used)
    told = risk_graver.gravest(each for each in found if each is not None)
    return tuple(each for each in told if not _answered(facts, each))


def asks(facts: Facts, name: str) -> bool:
    """Return whether one rule finds something by its thresholds, whoever answered what before."""
    return _is_used(facts, name) and RULES[name](facts) is not None


def _is_used(facts: Facts, name: str) -> bool:
    return name not in facts.off or name in PROTECTS_LIFE


def _answered(facts: Facts, finding: Finding) -> bool:
    """Return whether a person resolved this on this or newer evidence, knowing what is known now.

    Or what stands for it, where that rested on the same kind of evidence.
    """
    own = facts.resolved.get(finding.rule)
    if own is not None and _covers(own, finding) and _risks(finding) <= own.told:
        return True
    gravers = risk_graver.GRAVER.get(finding.rule, ())
    held = (facts.resolved[each] for each in gravers if each in facts.resolved)
    return any(_covers(each, finding) and each.basis == finding.basis for each in held)


def _covers(answer: seen.Answer, finding: Finding) -> bool:
    """Return whether an answer was given on this evidence or newer, to an alert as grave."""
    at = finding.evidence_at
    return at is not None and at <= answer.at and rank(finding.severity) <= rank(answer.severity)


def _risks(finding: Finding) -> frozenset[str]:
    return frozenset(each.key for each in finding.evidence if each.key in risk_keys.RISKS)


def judged(facts: Facts) -> frozenset[str]:
    """Return the rules that the facts are enough for: only these may clear an alert.

    A visual-only reading, for one, says nothing against a fat score that was felt before.
    """
    felt, ate = facts.palpated is not None, facts.ate
    has_score = risk_trend.score_trend(facts) is not None
    has_weight = risk_trend.weight_trend(facts) is not None
    by_either = (has_weight or has_score) and not risk_trend.left_out(facts)
    enough = {
        risk_thin.EMACIATED: facts.speaking is not None,
        risk_danger.DANGER_SIGNS: True,
        # Only a reading that says it eats ends it; one that says nothing does not.
        risk_appetite.OFF_FEED: ate is not None and ate.appetite == risk_appetite.EATS,
        risk_loss.LOSING_FAST: risk_loss.is_judged(facts),
        risk_breeding.LOSS_IN_FOAL_OR_MILK: by_either,
        risk_trend.LOSING_WEIGHT: has_weight,
        risk_trend.LOSING_SCORE: has_score,
        risk_fat.FAT_IN_SPRING: felt,
        risk_fat.FAT: felt,
        risk_regional.CREST_RAISED: facts.crest is not None,
        risk_regional.REGION_FAR_ABOVE: felt,
        risk_fat.ABOVE_BAND: felt and facts.edges is not None,
        risk_thin.THIN: felt,
        risk_thin.BELOW_BAND_TWICE: felt and facts.edges is not None,
        risk_trend.GAINING_FAST: by_either,
        risk_plan.PLAN_OFF_TRACK: facts.plan is None or by_either,
        risk_apart.ASSESSORS_APART: felt,
        risk_appetite.HYPERLIPAEMIA_WATCH: True,
        risk_overdue.NEVER_SCORED: felt,
        risk_overdue.OVERDUE: facts.score_due_at is not None,
    }
    return frozenset(name for name, holds in enough.items() if holds and _is_used(facts, name))


def does_not_know(rule: str) -> tuple[str, ...]:
    """Return message keys of what a rule's finding says nothing of."""
    return tuple(threshold.rule(rule)["does_not_know"])


__all__ = [
    "ACT",
    "LATENESS",
    "PROTECTS_LIFE",
    "RULES",
    "URGENT",
    "WATCH",
    "Facts",
    "Finding",
    "Message",
    "asks",
    "does_not_know",
    "find",
    "judged",
]
