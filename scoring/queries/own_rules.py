"""Which thresholds hold for which horse now: the data's, the organisation's, its exceptions'.

Of several the nearest counts: the horse's exception, the yard's, the organisation's own, the
default.
"""

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from decimal import Decimal
from types import MappingProxyType
from typing import Any

from django.db import connection
from django.db.models import Min, Q

from scoring.models import RuleException
from scoring.rules import own_rule, threshold
from scoring.rules.own_rule import Setting

Settings = Mapping[str, Setting]
# The version of a rule that nobody changed yet.
FIRST = 1
NONE: Settings = MappingProxyType({})
# Asked after every reading, so all in one question; the organisation's wall is in the database.
_ROWS = """SELECT NULL::bigint, NULL::bigint, rule, is_on, thresholds FROM scoring_rulesetting
    UNION ALL
    SELECT yard_id, horse_id, rule, is_on, thresholds FROM scoring_ruleexception
    WHERE ended_at IS NULL AND given_at <= %(now)s AND until_at > %(now)s
        AND (yard_id = ANY(%(yards)s) OR horse_id = ANY(%(horses)s))"""


@dataclass(frozen=True, slots=True)
class Held:
    """What is set: by the organisation, for yards and for horses, by rule."""

    house: Settings = field(default_factory=dict)
    yards: Mapping[int, Settings] = field(default_factory=dict)
    horses: Mapping[int, Settings] = field(default_factory=dict)

    def of(self, *, yard: int, horse: int) -> threshold.Own:
        """Return what the rules go by for one horse."""
        return own(self.house, self.yards.get(yard, NONE), self.horses.get(horse, NONE))

    def setting(self, rule: str, *, yard: int, horse: int) -> Setting:
        """Return one rule as it is for one horse."""
        layers = (self.house, self.yards.get(yard, NONE), self.horses.get(horse, NONE))
        return _joined(rule, layers)


def own(*layers: Settings) -> threshold.Own:
    """Return the thresholds and what is off, the later layers before the earlier."""
    names = {name for layer in layers for name in layer}
    if not names:
        return threshold.Own()
    joined = {name: _joined(name, layers) for name in names}
    return threshold.Own(
        {
            f"{name}.{key}": value
            for name, each in joined.items()
            for key, value in each.values.items()
        },
        frozenset(name for name, each in joined.items() if not each.is_on),
    )


def _joined(rule: str, layers: Sequence[Settings]) -> Setting:
    found = own_rule.AS_DEFAULT
    for layer in layers:
        if rule in layer:
            each = layer[rule]
            found = Setting(each.is_on, MappingProxyType({**found.values, **each.values}))
    return found


def setting_of(is_on: bool, thresholds: Mapping[str, str]) -> Setting:
    """Return a setting from a row's columns."""
    values = {key: Decimal(value) for key, value in thresholds.items()}
    return Setting(is_on, MappingProxyType(values))


def stored(setting: Setting) -> dict[str, Any]:
    """Return a setting as a row's columns hold it."""
    thresholds = {key: str(value) for key, value in setting.values.items()}
    return {"is_on": setting.is_on, "thresholds": thresholds}


def next_end(yard: int, now: datetime) -> datetime | None:
    """Return when the first of a yard's exceptions in force ends, its horses' among them."""
    rows = RuleException.objects.filter(ended_at__isnull=True, until_at__gt=now)
    rows = rows.filter(Q(yard_id=yard) | Q(horse__yard_id=yard))
    found: datetime | None = rows.aggregate(first=Min("until_at"))["first"]
    return found


def held(yards: Sequence[int], horses: Sequence[int], now: datetime) -> Held:
    """Return what holds for some yards and horses, in one query."""
    house: dict[str, Setting] = {}
    by_yard: dict[int, dict[str, Setting]] = {}
    by_horse: dict[int, dict[str, Setting]] = {}
    with connection.cursor() as cursor:
        cursor.execute(_ROWS, {"now": now, "yards": list(yards), "horses": list(horses)})
        rows = cursor.fetchall()
    for yard, horse, rule, is_on, thresholds in rows:
        said = json.loads(thresholds) if isinstance(thresholds, str) else thresholds
        found = setting_of(is_on, said)
        if horse is not None:
            by_horse.setdefault(horse, {})[rule] = found
        elif yard is not None:
            by_yard.setdefault(yard, {})[rule] = found
        else:
            house[rule] = found
    return Held(house, by_yard, by_horse)
