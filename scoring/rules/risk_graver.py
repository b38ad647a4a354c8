"""Which finding stands for which: one statement of one thing, told once, by the graver rule.

A lesser finding is left out while a graver one rests on the same evidence. Never the other way
round, never by one of a lower severity, and across kinds of evidence only as ``ACROSS`` names them:
that an animal is off its feed says more than that it came of late. But who resolved the one has not
answered the other. Danger signs stand for themselves.
"""

from collections.abc import Collection, Iterable, Mapping
from types import MappingProxyType

from scoring.rules import (
    risk_appetite,
    risk_breeding,
    risk_fat,
    risk_loss,
    risk_overdue,
    risk_regional,
    risk_thin,
    risk_trend,
)
from scoring.rules.finding import Finding, rank

_FAT = (risk_fat.FAT_IN_SPRING, risk_fat.FAT)
_LOSS = (risk_loss.LOSING_FAST, risk_breeding.LOSS_IN_FOAL_OR_MILK)
# Lesser rule -> the graver ones that stand for it.
GRAVER: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        risk_fat.FAT: (risk_fat.FAT_IN_SPRING,),
        risk_fat.ABOVE_BAND: _FAT,
        risk_regional.REGION_FAR_ABOVE: (risk_thin.EMACIATED, *_FAT),
        risk_thin.THIN: (risk_thin.EMACIATED,),
        risk_thin.BELOW_BAND_TWICE: (risk_thin.EMACIATED, risk_thin.THIN),
        risk_breeding.LOSS_IN_FOAL_OR_MILK: (risk_loss.LOSING_FAST,),
        risk_trend.LOSING_WEIGHT: _LOSS,
        risk_trend.LOSING_SCORE: (risk_breeding.LOSS_IN_FOAL_OR_MILK,),
        risk_appetite.HYPERLIPAEMIA_WATCH: (risk_appetite.OFF_FEED,),
        risk_overdue.OVERDUE: (risk_overdue.NEVER_SCORED,),
    }
)


# (graver, lesser) kinds of evidence.
ACROSS = frozenset({("appetite", "move")})


def stands_for(graver: Finding, lesser: Finding) -> bool:
    """Return whether a finding makes a lesser one of the same evidence needless."""
    return (
        graver.rule in GRAVER.get(lesser.rule, ())
        and (graver.basis == lesser.basis or (graver.basis, lesser.basis) in ACROSS)
        and rank(graver.severity) >= rank(lesser.severity)
    )


def gravest(found: Iterable[Finding]) -> tuple[Finding, ...]:
    """Return the findings that no graver one stands for, in their order."""
    told = tuple(found)
    return tuple(each for each in told if not any(stands_for(other, each) for other in told))


def taken_over(rule: str, found: Collection[str]) -> bool:
    """Return whether one of the rules that found something stands for this one."""
    return any(graver in found for graver in GRAVER.get(rule, ()))
