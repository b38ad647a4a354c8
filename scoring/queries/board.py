"""The yard board: every present horse, grouped by what needs doing. Read from standings only."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from decimal import Decimal
from uuid import UUID
from zoneinfo import ZoneInfo

from scoring.models import Alert, Standing
from scoring.queries import targets
from scoring.rules import band as bands
from scoring.rules import due, outlook, scale, trend
from yards.access import doors
from yards.models import Yard
from yards.queries import yards as yards_queries
from yards.rules.roles import Verb, Viewer, may

GROUPS = ("call_the_vet", "decide", "assess_today", "watched", "nothing_to_do")
_GRAVITY = {"urgent": 0, "act": 1, "watch": 2}


@dataclass(frozen=True, slots=True)
class BoardYard:
    """A yard to choose, with how many horses stand there. ``id`` None is all of them."""

    id: UUID | None
    name: str
    count: int
    current: bool


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
    """The gravest open alert of a horse."""

    id: UUID
    rule: str
    severity: str
    state: str
    escalated: bool


@dataclass(frozen=True, slots=True)
class Row:
    """One horse on the board. Scores in points; ``low`` to ``high`` is the 80% interval.

    Interval and rate are as of the last reading; more than 120 days after it there are none.
    ``rate_lacks`` is the key of why there is no rate.
    """

    horse_id: UUID
    name: str
    yard_name: str
    use: str
    species: str
    scale: str
    regions: Mapping[str, Decimal | None] | None
    whole: Decimal | None
    fattest: tuple[str, ...]
    overall: Decimal | None
    low: float | None
    high: float | None
    place: str
    rate_per_month: float | None
    rate_lacks: str
    rate_is_level: bool
    due: Due
    alert: BoardAlert | None
    more_alerts: int
    band: bands.Band | None
    vet: yards_queries.VetContact | None
    may_assess: bool
    group: str


@dataclass(frozen=True, slots=True)
class Board:
    """All that the page shows. ``today`` and ``zone`` are the chosen yard's, or the first's."""

    today: date
    zone: str
    yards: tuple[BoardYard, ...]
    rows: tuple[Row, ...]


def yard_board(viewer: Viewer, *, now: datetime, yard: UUID | None = None) -> Board:
    """Return the board of one yard or of all in scope, in a fixed number of queries.

    Raises NotFound for a yard out of scope.
    """
    doors.require(viewer, Verb.READ_STANDING)
    yards = list(doors.yards_in_scope(viewer).order_by("name_key", "id"))
    chosen = doors.yard_for_read(viewer, yard) if yard is not None else None
    standings = list(
        Standing.objects.filter(doors.scope(viewer, horse="horse_id"))
        .filter(horse__status="present")
        .select_related("horse", "yard", "last_assessment")
        .order_by("horse__name_key", "horse_id")
    )
    kept = [each for each in standings if chosen is None or each.yard_id == chosen.id]
    keys = [each.horse_id for each in kept]
    alerts, orders = _alerts(keys), targets.orders_of(keys, now)
    rows = [
        _row(
            viewer,
            each,
            alerts.get(each.horse_id, []),
            orders.get(each.horse_id, targets.NO_ORDERS),
            now=now,
            several=chosen is None,
        )
        for each in kept
    ]
    place = chosen or (yards[0] if yards else None)
    zone = place.time_zone if place is not None else "UTC"
    return Board(
        today=now.astimezone(ZoneInfo(zone)).date(),
        zone=zone,
        yards=_choices(yards, standings, chosen),
        rows=tuple(sorted(rows, key=lambda row: GROUPS.index(row.group))),
    )


def _choices(
    yards: Sequence[Yard], standings: Sequence[Standing], chosen: Yard | None
) -> tuple[BoardYard, ...]:
    counts: dict[int, int] = {}
    for standing in standings:
        counts[standing.yard_id] = counts.get(standing.yard_id, 0) + 1
    return (
        BoardYard(None, "", len(standings), current=chosen is None),
        *(
            BoardYard(
                each.ref,
                each.name,
                counts.get(each.id, 0),
                current=chosen is not None and chosen.id == each.id,
            )
            for each in yards
        ),
    )


def _alerts(horses: Sequence[int]) -> dict[int, list[Alert]]:
    """Return the open alerts of each horse, gravest first."""
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


def _group(held: Sequence[Alert], state: str) -> str:
    if any(alert.severity == "urgent" or alert.escalated_at for alert in held):
        return "call_the_vet"
    if any(alert.state == "open" and alert.severity == "act" for alert in held):
        return "decide"
    if state != due.NOT_DUE:
        return "assess_today"
    return "watched" if held else "nothing_to_do"


def _gravest(held: Sequence[Alert]) -> BoardAlert | None:
    if not held:
        return None
    alert = held[0]
    return BoardAlert(
        alert.ref, alert.rule, alert.severity, alert.state, alert.escalated_at is not None
    )


def _is_level(standing: Standing) -> bool:
    """Return whether the rate's 80% interval holds zero: then nothing is said to move."""
    low, high = standing.rate_low, standing.rate_high
    return low is not None and high is not None and low <= 0 <= high


def _row(
    viewer: Viewer,
    standing: Standing,
    held: Sequence[Alert],
    orders: targets.Orders,
    *,
    now: datetime,
    several: bool,
) -> Row:
    horse, yard, last = standing.horse, standing.yard, standing.last_assessment
    used = None
    if last is not None and last.scale == scale.FIVE:
        used = scale.Felt(last.neck, last.back, last.hind).with_pocket(last.fat_pocket)
    coming = next_due(standing, yard.time_zone, now)
    group = _group(held, coming.state)
    state = trend.State.of(standing.score_filter)
    trended = not outlook.too_old(state, now)
    key = last.scale if last is not None else scale.usual_for(horse.species)
    return Row(
        horse_id=horse.ref,
        name=horse.name,
        yard_name=yard.name if several else "",
        use=horse.use,
        species=horse.species,
        scale=key,
        regions=used.points() if used is not None else None,
        whole=scale.points(last.whole) if last is not None else None,
        fattest=used.fattest() if used is not None else (),
        overall=scale.mean(last.overall_sixths) if last is not None else None,
        low=standing.level_low if trended else None,
        high=standing.level_high if trended else None,
        place=standing.place,
        rate_per_month=standing.rate_per_month if trended else None,
        rate_lacks=outlook.lacking_at(state, now),
        rate_is_level=trended and _is_level(standing),
        due=coming,
        alert=_gravest(held),
        more_alerts=max(0, len(held) - 1),
        band=targets.band_of(horse, yard, now, orders=orders, scale=key),
        vet=yards_queries.card_of(yard).vet if group == "call_the_vet" else None,
        may_assess=may(viewer, Verb.RECORD_READINGS),
        group=group,
    )
