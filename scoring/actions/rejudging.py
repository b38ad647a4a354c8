"""A rule was changed: every horse it concerns is judged anew, and nothing is closed in silence.

What must open is opened by the yards' sweeps, due at once, a yard a transaction. What the rule no
longer asks for is marked in the change's own transaction: it stands until a reading clears it or a
person resolves it, or it is resolved here, by whoever changed the rule, if they said so.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from django.db.models import Q

from scoring.actions import episodes, timer_rows
from scoring.models import Alert, Standing
from scoring.queries import own_rules, yard_evidence
from scoring.rules import ladder, risk, threshold
from yards import isolation
from yards.models import Horse, Yard
from yards.rules.roles import Viewer


@dataclass(frozen=True, slots=True)
class Scope:
    """Where a rule changed: in every yard, in one, or for one horse."""

    yard: Yard | None = None
    horse: Horse | None = None

    def yards(self) -> list[Yard]:
        """Return the yards whose horses are to be judged."""
        if self.horse is not None:
            return [self.horse.yard]
        return [self.yard] if self.yard is not None else list(Yard.objects.order_by("id"))

    def of_alerts(self) -> Q:
        """Return the condition that an alert is within it."""
        if self.horse is not None:
            return Q(horse_id=self.horse.id)
        return Q(horse__yard_id=self.yard.id) if self.yard is not None else Q()


@dataclass(frozen=True, slots=True)
class Unasked:
    """The open alerts that the rule no longer asks for: left standing, or resolved with it."""

    standing: Sequence[Alert] = ()
    resolved: Sequence[Alert] = ()

    def said(self) -> dict[str, list[str]]:
        """Return it as the ledger holds it."""
        return {
            "left_open": [str(alert.ref) for alert in self.standing],
            "resolved": [str(alert.ref) for alert in self.resolved],
        }


def due_now(viewer: Viewer, scope: Scope, now: datetime) -> None:
    """Let the sweeps be due now. Before anything else: a sweep's timer is locked first."""
    planned = [
        timer_rows.Planned(timer_rows.SWEEP, now, (str(yard.ref),), yard=yard.id)
        for yard in scope.yards()
    ]
    timer_rows.all_due_now(viewer, planned, now=now)


def rejudge(
    viewer: Viewer,
    rule: str,
    before: Mapping[int, threshold.Own],
    standings: Sequence[Standing],
    *,
    now: datetime,
    resolving: str = "",
) -> Unasked:
    """Hold the open alerts of a rule against what the rule now asks for.

    ``before`` is what held for each horse before the change; ``standings`` are theirs, locked by
    ``held``. ``resolving``, if given, is the reason with which the person resolves what is not
    asked for any more, but for what protects life.
    """
    isolation.required(viewer)
    keys = [each.horse_id for each in standings]
    found = Alert.objects.select_for_update(of=("self",)).filter(horse_id__in=keys, rule=rule)
    alerts = list(found.exclude(state=ladder.RESOLVED).order_by("id"))
    facts = yard_evidence.facts_of_horses(viewer, standings, now=now) if alerts else {}
    asked, unasked = [], []
    for alert in alerts:
        now_known, own = facts[alert.horse_id], before[alert.horse_id]
        then = replace(now_known, thresholds=own.thresholds, off=own.off)
        if risk.asks(now_known, rule):
            asked.append(alert)
        elif rule in now_known.off or risk.asks(then, rule):
            unasked.append(alert)
    if resolving and ladder.clears_by_reading(rule) and unasked:
        episodes.resolve_unasked(viewer, unasked, reason=resolving, now=now)
        unasked, resolved = [], unasked
    else:
        resolved = []
    episodes.set_apart(viewer, unasked, asked=asked, now=now)
    return Unasked(unasked, resolved)


def held(rule: str, scope: Scope) -> list[Standing]:
    """Lock the standings of the horses with an open alert of the rule, in the one order."""
    alerts = Alert.objects.filter(scope.of_alerts(), rule=rule).exclude(state=ladder.RESOLVED)
    keys = list(alerts.values_list("horse_id", flat=True))
    rows = Standing.objects.select_for_update(no_key=True, of=("self",)).filter(horse_id__in=keys)
    found = list(rows.order_by("horse_id"))
    horses = {horse.id: horse for horse in Horse.objects.select_related("yard").filter(id__in=keys)}
    for each in found:
        each.horse = horses[each.horse_id]
    return found


def own_of(standings: Sequence[Standing], now: datetime) -> dict[int, threshold.Own]:
    """Return what the rules go by now for each of some horses."""
    yards = {each.horse.yard_id for each in standings}
    known = own_rules.held(sorted(yards), [each.horse_id for each in standings], now)
    return {
        each.horse_id: known.of(yard=each.horse.yard_id, horse=each.horse_id) for each in standings
    }
