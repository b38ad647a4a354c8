"""What rules would have told over a time past, by thresholds as they are and as somebody proposes.

The pure rules are asked again at each reading, and on each day on which they may turn by
themselves, with what was known then. An alert counts when it opens: found, and not found before. It
is over when it could be judged and was not found. What people answered is left out.
"""

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from typing import NamedTuple

from scoring.rules import risk, risk_graver, threshold
from scoring.rules.risk_facts import Facts


class Life(NamedTuple):
    """One animal, by its key, and the facts of each moment, in order of time."""

    horse: int
    moments: Iterable[Facts]


@dataclass(frozen=True, slots=True)
class Told:
    """What a rule told: so many alerts, on which animals, how many of them opened in spring."""

    alerts: int = 0
    in_spring: int = 0
    horses: frozenset[int] = frozenset()


NOTHING = Told()


def lesser(rule: str) -> tuple[str, ...]:
    """Return the rules that stay silent while this one says the same: they change with it."""
    return tuple(name for name, gravers in risk_graver.GRAVER.items() if rule in gravers)


def asked(rule: str) -> tuple[str, ...]:
    """Return the rules that a replay of one asks: itself, the lesser, and the graver of all."""
    told = (rule, *lesser(rule))
    gravers = (each for name in told for each in risk_graver.GRAVER.get(name, ()))
    return tuple(dict.fromkeys((*told, *gravers)))


def told(
    lives: Iterable[Life], rules: Sequence[str], owns: Sequence[threshold.Own], since: datetime
) -> list[dict[str, Told]]:
    """Return what each rule tells from a time on, by each of some settings."""
    found: list[dict[str, Told]] = [dict.fromkeys(rules, NOTHING) for _ in owns]
    for life in lives:
        runs = [[_Run(rule) for rule in rules] for _ in owns]
        for facts in life.moments:
            for own, of_own in zip(owns, runs, strict=True):
                as_set = replace(facts, thresholds=own.thresholds, off=own.off)
                for run in of_own:
                    run.take(as_set, counts=facts.now >= since)
        for kept, of_own in zip(found, runs, strict=True):
            for run in of_own:
                kept[run.rule] = _added(kept[run.rule], life.horse, run)
    return found


def _added(before: Told, horse: int, run: "_Run") -> Told:
    if not run.alerts:
        return before
    return Told(
        before.alerts + run.alerts, before.in_spring + run.in_spring, before.horses | {horse}
    )


class _Run:
    """One rule on one animal by one setting."""

    def __init__(self, rule: str) -> None:
        self.rule, self.is_open = rule, False
        self.alerts = self.in_spring = 0

    def take(self, facts: Facts, *, counts: bool) -> None:
        """Go one moment on."""
        if is_told(facts, self.rule):
            if counts and not self.is_open:
                self.alerts += 1
                self.in_spring += facts.in_spring
            self.is_open = True
        elif self.is_open and self.rule in risk.judged(facts):
            self.is_open = False


def is_told(facts: Facts, rule: str) -> bool:
    """Return whether a rule finds something that no graver rule says already."""
    if rule in facts.off and rule not in risk.PROTECTS_LIFE:
        return False
    finding = risk.RULES[rule](facts)
    if finding is None:
        return False
    return not any(
        graver is not None and risk_graver.stands_for(graver, finding)
        for graver in _found(facts, risk_graver.GRAVER.get(rule, ()))
    )


def _found(facts: Facts, rules: Collection[str]) -> Iterator[risk.Finding | None]:
    for name in rules:
        if name not in facts.off or name in risk.PROTECTS_LIFE:
            yield risk.RULES[name](facts)


def changed(one: Mapping[str, Told], other: Mapping[str, Told], rule: str) -> list[str]:
    """Return the other rules of which the two settings tell different things."""
    return [name for name in one if name != rule and one[name] != other[name]]
