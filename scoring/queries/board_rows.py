"""One horse on the board: what was felt, how sure and which way it goes, what is due and open."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from decimal import Decimal
from uuid import UUID
from zoneinfo import ZoneInfo

from scoring.models import Alert, Standing
from scoring.queries import board_lines, targets
from scoring.rules import band as bands
from scoring.rules import board, due, outlook, risk, scale, trend
from yards.queries import yards as yards_queries
from yards.rules import daytime, seasons
from yards.rules.roles import Verb, Viewer, may

_GRAVITY = {"urgent": 0, "act": 1, "watch": 2}


@dataclass(frozen=True, slots=True)
class Due:
    """The next assessment: its day on the yard's calendar and the share of the interval used."""

    state: str
    on: date
    days: int
    fraction: float
    what: str


@dataclass(frozen=True, slots=True)
class BoardAlert:
    """The gravest open alert of a horse; ``spring``: its yard's, where the alert goes by that."""

    id: UUID
    rule: str
    severity: str
    state: str
    escalated: bool
    passed: bool
    spring: seasons.Spring | None = None


@dataclass(frozen=True, slots=True)
class Row:
    """One horse on the board. Scores in points; ``low`` to ``high`` is the 80% interval.

    Interval and rate are as of the last reading; more than 120 days after it there are none.
    ``rate_lacks`` is the key of why there is no rate. ``line`` is the last year; None: no reading.
    ``passed_on`` is the yard's day by which a next step was to be done that nobody has ended since;
    of an animal that ``is_unknown`` nobody may have said what it is kept for.
    ``mark`` changes whenever anything on the row does, but for the time that passes.
    """

    horse_id: UUID
    name: str
    yard_name: str
    use: str
    is_unknown: bool
    species: str
    scale: str
    regions: Mapping[str, Decimal | None] | None
    whole: Decimal | None
    fattest: tuple[str, ...]
    overall: Decimal | None
    level: float | None
    low: float | None
    high: float | None
    place: str
    rate_per_month: float | None
    rate_lacks: str
    rate_is_level: bool
    due: Due
    alert: BoardAlert | None
    more_alerts: int
    passed_on: date | None
    band: bands.Band | None
    line: board_lines.Line | None
    vet: yards_queries.VetContact | None
    may_assess: bool
    group: str
    calm: int
    mark: str

    @property
    def late(self) -> int:
        """By how many days it is late among those to assess today."""
        return board.late(self.group, self.due.days)


@dataclass(frozen=True, slots=True)
class Subject:
    """What a row is made of, apart from what the band and the line hang on."""

    standing: Standing
    alerts: Sequence[Alert]
    due: Due
    group: str
    calm: int
    now: datetime

    def passed(self, alert: Alert) -> bool:
        """Return whether the time of an alert's next step has passed."""
        return board.is_passed(alert.state, alert.next_step_by, self.now)

    @property
    def passed_on(self) -> date | None:
        """The day by which the first next step was to be done that is not; None: there is none."""
        steps = [each.next_step_by for each in self.alerts if self.passed(each)]
        first = min((at for at in steps if at is not None), default=None)
        return daytime.local_date(first, self.standing.yard.time_zone) if first else None

    @property
    def mark(self) -> str:
        """Whatever changes when the row does."""
        standing = self.standing
        told = [standing.horse.version, standing.yard.version, standing.updated_at.timestamp()]
        told += [part for each in self.alerts for part in (each.id, each.version, each.step)]
        day = (self.due.state, self.due.days, self.group, self.passed_on)
        return "/".join(str(each) for each in (*told, *day))


def alerts_of(horses: Sequence[int]) -> dict[int, list[Alert]]:
    """Return the unresolved alerts of each horse, gravest first, in one query."""
    found: dict[int, list[Alert]] = {}
    for alert in Alert.objects.filter(horse_id__in=horses).exclude(state="resolved").order_by("id"):
        found.setdefault(alert.horse_id, []).append(alert)
    for held in found.values():
        held.sort(key=lambda alert: (_GRAVITY[alert.severity], alert.state != "open", alert.id))
    return found


def next_due(standing: Standing, zone: str, now: datetime) -> Due:
    """Return the sooner of the score and the weight that fall due."""
    what, at, days = min(
        ("score", standing.score_due_at, standing.score_days),
        ("weight", standing.weight_due_at, standing.weight_days),
        key=lambda each: each[1],
    )
    local = ZoneInfo(zone)
    today, on = now.astimezone(local).date(), at.astimezone(local).date()
    began = at - timedelta(days=days)
    used = (now - began) / timedelta(days=days) if days else 1.0
    return Due(due.state(at, now, zone), on, (today - on).days, max(0.0, used), what)


def _gravest(subject: Subject) -> BoardAlert | None:
    """Return the alert to read first; of those as grave, one that is open or whose step passed.

    That a look is overdue comes after what was found.
    """
    held = sorted(
        subject.alerts,
        key=lambda each: (
            _GRAVITY[each.severity],
            each.state != "open" and not subject.passed(each),
            each.rule in risk.LATENESS,
        ),
    )
    if not held:
        return None
    alert = held[0]
    return BoardAlert(
        id=alert.ref,
        rule=alert.rule,
        severity=alert.severity,
        state=alert.state,
        escalated=alert.escalated_at is not None,
        passed=subject.passed(alert),
        spring=_spring(alert),
    )


def _spring(alert: Alert) -> seasons.Spring | None:
    """Return the spring that an alert's reason was told with; older rows have none."""
    _, told = alert.said.get("reason", ("", {}))
    return seasons.spring_of(told.get("spring_first", ""), told.get("spring_last", ""))


def row_of(
    viewer: Viewer,
    subject: Subject,
    orders: targets.Orders,
    line: board_lines.Line | None,
    *,
    now: datetime,
    several: bool,
) -> Row:
    """Return one horse's row; ``several`` yards are on the board, so that each is named."""
    standing = subject.standing
    horse, yard, last = standing.horse, standing.yard, standing.last_assessment
    used = None
    if last is not None and last.scale == scale.FIVE:
        used = scale.Felt(last.neck, last.back, last.hind).with_pocket(last.fat_pocket)
    state = trend.State.of(standing.score_filter)
    trended = not outlook.too_old(state, now)
    key = last.scale if last is not None else scale.usual_for(horse.species)
    rate = (standing.rate_per_month, standing.rate_low, standing.rate_high)
    return Row(
        horse_id=horse.ref,
        name=horse.name,
        yard_name=yard.name if several else "",
        use=horse.use,
        is_unknown=horse.is_unknown,
        species=horse.species,
        scale=key,
        regions=used.points() if used is not None else None,
        whole=scale.points(last.whole) if last is not None else None,
        fattest=used.fattest() if used is not None else (),
        overall=scale.mean(last.overall_sixths) if last is not None else None,
        level=standing.level if trended else None,
        low=standing.level_low if trended else None,
        high=standing.level_high if trended else None,
        place=standing.place,
        rate_per_month=standing.rate_per_month if trended else None,
        rate_lacks=outlook.lacking_at(state, now),
        rate_is_level=trended and board.way(*rate) == board.LEVEL,
        due=subject.due,
        alert=_gravest(subject),
        more_alerts=max(0, len(subject.alerts) - 1),
        passed_on=subject.passed_on,
        band=targets.band_of(horse, yard, now, orders=orders, scale=key),
        line=line,
        vet=yards_queries.vet_of(yard) if subject.group == board.CALL_THE_VET else None,
        may_assess=may(viewer, Verb.RECORD_READINGS),
        group=subject.group,
        calm=subject.calm,
        mark=subject.mark,
    )
