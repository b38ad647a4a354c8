"""Risk rules, their exceptions, and previews."""

from collections.abc import Mapping, Sequence
from decimal import Decimal
from uuid import UUID

from api.present import forms, people
from scoring.queries import rule_words, wording
from scoring.queries.replaying import Count, Preview
from scoring.queries.rule_exceptions import ExceptionCard
from scoring.queries.rules import RuleCard, ThresholdCard
from yards.rules import plain


def rule(found: RuleCard) -> dict[str, object]:
    """Return one rule in words, with its thresholds."""
    return {
        "rule": found.rule,
        "title": wording.title(found.rule),
        "looks_for": rule_words.looks_for(found.rule),
        "on": found.is_on,
        "protects_life": found.protects_life,
        "heard": [
            {"severity": each, "words": rule_words.heard(each, found.policies)}
            for each in found.severities
        ],
        "thresholds": [_threshold(each) for each in found.thresholds],
        "not_known": list(wording.not_known(found.rule)),
        "source": found.source,
        "exceptions": len(found.exceptions),
        "reason": found.reason,
        "set_by": people.person(found.set_by),
        "set_at": forms.instant(found.set_at),
        "version": found.version,
    }


def _threshold(found: ThresholdCard) -> dict[str, object]:
    row = found.row
    measure, bound = rule_words.measure(row), rule_words.bound(row, found.value)
    ends = {name: row[name] for name in ("default", "least", "most")}
    return {
        "scale": row["scale"],
        "measure": row["measure"],
        "words": f"{measure}: {bound}",
        "value": plain.decimal_text(found.value),
        "is_own": found.is_own,
        "side": row["side"],
        "unit": row["unit"],
        **ends,
        "source": row["source"],
        "confidence": row["confidence"],
    }


def exception(found: ExceptionCard) -> dict[str, object]:
    """Return one exception."""
    return {
        "id": str(found.id),
        "rule": found.rule,
        "yard": forms.ref(found.yard),
        "horse": forms.ref(found.horse),
        "thresholds": _by_scale(found.setting.values),
        "on": found.setting.is_on,
        "reason": found.reason,
        "given_by": people.person(found.given_by),
        "given_at": forms.instant(found.given_at),
        "until": forms.instant(found.until),
        "ended_at": forms.instant(found.ended_at),
        "ended_by": people.person(found.ended_by),
        "end_reason": found.end_reason,
        "state": found.state,
    }


def _by_scale(values: Mapping[str, Decimal]) -> dict[str, dict[str, str]]:
    found: dict[str, dict[str, str]] = {}
    for key, value in values.items():
        scale, measure = key.split(".")
        found.setdefault(scale, {})[measure] = plain.decimal_text(value)
    return found


def preview(found: Preview) -> dict[str, object]:
    """Return what a setting would have meant, beside today's."""
    return {
        "since": forms.instant(found.since),
        "until": forms.instant(found.until),
        "today": _count(found.today),
        "proposed": _count(found.proposed),
        "beside": [
            {
                "rule": each.rule,
                "today": _count(each.today),
                "proposed": _count(each.proposed),
            }
            for each in found.beside
        ],
        "more": _horses(found.more),
        "fewer": _horses(found.fewer),
        "horses_counted": found.counted,
        "horses": found.of,
    }


def _count(found: Count) -> dict[str, object]:
    return {"alerts": found.alerts, "horses": found.horses, "in_spring": found.in_spring}


def _horses(found: Sequence[tuple[UUID, str]]) -> list[dict[str, object]]:
    return [{"id": str(ref), "name": name} for ref, name in found]
