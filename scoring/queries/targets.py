"""What holds for a horse by its kind and by its vet: the band, and how often to look."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime

from scoring.models import VetOrder
from scoring.rules import band as bands
from scoring.rules import scale as scales
from yards.models import Horse, Yard
from yards.rules import daytime, seasons


@dataclass(frozen=True, slots=True)
class Orders:
    """A vet's word in force: the newest band and the newest intervals, in days."""

    band: bands.Override | None = None
    score_days: int | None = None
    weight_days: int | None = None


NO_ORDERS = Orders()


def orders_of(horses: Sequence[int], now: datetime) -> Mapping[int, Orders]:
    """Return the orders in force by horse key, in one query; those without any are left out."""
    rows = VetOrder.objects.filter(horse_id__in=horses, given_at__lte=now, until_at__gt=now)
    return _newest(rows.order_by("id"))


def orders_at(horse: int, *instants: datetime) -> list[Orders]:
    """Return one horse's orders in force at each of some instants, in one query."""
    rows = VetOrder.objects.filter(
        horse_id=horse, given_at__lte=max(instants), until_at__gt=min(instants)
    )
    held = list(rows.order_by("id"))
    return [
        _newest(row for row in held if row.given_at <= at < row.until_at).get(horse, NO_ORDERS)
        for at in instants
    ]


def _newest(rows: Iterable[VetOrder]) -> Mapping[int, Orders]:
    """Return by horse key the newest band and the newest intervals of rows in order."""
    found: dict[int, Orders] = {}
    for row in rows:
        held = found.get(row.horse_id, NO_ORDERS)
        band = held.band
        if row.band_low is not None and row.band_high is not None:
            band = bands.Override(row.band_low, row.band_high, row.until_at)
        found[row.horse_id] = Orders(
            band, row.score_days or held.score_days, row.weight_days or held.weight_days
        )
    return found


def band_of(
    horse: Horse, yard: Yard, at: datetime, *, orders: Orders = NO_ORDERS, scale: str | None = None
) -> bands.Band:
    """Return the horse's band on the yard's day of an instant, on its usual scale or another."""
    facts = bands.Facts(
        species=horse.species,
        use=horse.use,
        breeding=horse.breeding,
        born_earliest=horse.born_earliest,
        hemisphere=yard.hemisphere,
        spring=seasons.spring_of(yard.spring_first, yard.spring_last),
        override=orders.band,
    )
    key = scale or scales.usual_for(horse.species)
    return bands.band(facts, daytime.local_date(at, yard.time_zone), key, at)
