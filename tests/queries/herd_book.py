"""Every row of a herd gone through in Python by the rules alone: what its statements should say."""

import itertools
from collections.abc import Container, Iterator
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

from scoring.models import Assessment, VetOrder
from scoring.rules import due, herd_due, herd_months, herd_place, herd_season
from tests.queries.herd_years import DAY, score_of
from yards.models import Horse, Stay, Yard
from yards.rules import seasons


@dataclass
class Animal:
    """One animal with its kin: the horse it is, all stays, all readings that count, in order."""

    horse: Horse
    stays: list[Stay]
    rows: list[Assessment]
    orders: list[VetOrder]

    @property
    def felt(self) -> list[Assessment]:
        return [
            row
            for row in self.rows
            if row.manner == "palpated" and score_of(row).sixths is not None
        ]


class Book:
    """Every row, gone through in Python; ``yard`` None is every yard in scope."""

    def __init__(self, now: datetime, months: tuple[herd_months.Month, ...], keep: Any) -> None:
        self.now, self.months = now, months
        self.zones = {yard.id: yard.time_zone for yard in Yard.objects.all()}
        self.yards = {yard.id: yard for yard in Yard.objects.all()}
        rows = Assessment.objects.filter(superseded_by__isnull=True).order_by(
            "corrected_at", "received_at", "id"
        )
        every = {horse.id: horse for horse in Horse.objects.all()}
        self.animals = {
            key: Animal(horse, [], [], [])
            for key, horse in every.items()
            if horse.status != "merged"
        }
        own = {key: horse.merged_into_id or key for key, horse in every.items()}
        for stay in Stay.objects.order_by("from_at", "id"):
            self.animals[own[stay.horse_id]].stays.append(stay)
        for row in rows:
            self.animals[own[row.horse_id]].rows.append(row)
        for order in VetOrder.objects.exclude(score_days=None).order_by("id"):
            if order.horse_id in self.animals:
                self.animals[order.horse_id].orders.append(order)
        self.animals = {key: each for key, each in self.animals.items() if keep(each.horse)}

    def zone(self, animal: Animal) -> str:
        return self.zones[animal.horse.yard_id]

    def letters(self, animal: Animal, yard: int | None = None) -> str:
        """An animal's word, as ``herd_place`` has it."""
        bounds = herd_months.bounds(self.months, self.zone(animal))
        told = []
        for first, last in itertools.pairwise(bounds):
            here = [
                stay
                for stay in animal.stays
                if stay.from_at < last
                and stay.from_at <= self.now
                and (stay.until_at is None or stay.until_at > first)
            ]
            is_here = here and yard in (None, here[-1].yard_id)
            told.append(self._letter(animal, first, last) if is_here else herd_place.ELSEWHERE)
        return "".join(told)

    def _letter(self, animal: Animal, first: datetime, last: datetime) -> str:
        felt = [row for row in animal.felt if first <= row.corrected_at < last]
        rows = [row for row in animal.rows if first <= row.corrected_at < last]
        if felt:
            return felt[-1].place[0]
        if any(row.manner == "palpated" for row in rows):
            return herd_place.UNSAFE
        return herd_place.SEEN if rows else herd_place.UNREAD

    def at_end(self, season: str, year: str, yards: Container[UUID]) -> list[Assessment | None]:
        """The reading nearest to the end of a season of each horse that stood in them then."""
        found: list[Assessment | None] = []
        for animal in self.animals.values():
            for stay in reversed(animal.stays):
                yard = self.yards[stay.yard_id]
                window = self._window(yard, season, year) if yard.ref in yards else None
                if window is None or not (
                    stay.from_at < window.at
                    and (stay.until_at is None or stay.until_at >= window.at)
                ):
                    continue
                near = [r for r in animal.felt if window.first <= r.corrected_at < window.until]
                best = min(
                    reversed(near), key=lambda row: abs(row.corrected_at - window.at), default=None
                )
                found.append(best)
                break
        return found

    def _window(self, yard: Yard, season: str, year: str) -> herd_season.Window | None:
        spring = seasons.spring_of(yard.spring_first, yard.spring_last)
        today = self.now.astimezone(ZoneInfo(yard.time_zone)).date()
        for each in herd_season.ends(today, yard.hemisphere, spring):
            if (each.season, each.year) == (season, year):
                return herd_season.window(each.on, yard.time_zone)
        return None

    def met(self) -> list[tuple[int, date, str]]:
        """The yard, the due day and the kind of every look that fell due until today."""
        return [each for animal in self.animals.values() for each in self._met(animal)]

    def _met(self, animal: Animal) -> Iterator[tuple[int, date, str]]:
        zone = ZoneInfo(self.zone(animal))
        today = self.now.astimezone(zone).date()
        looked: dict[date, Assessment] = {
            row.corrected_at.astimezone(zone).date(): row for row in animal.felt
        }
        days = sorted(looked)
        came = animal.horse.created_at.astimezone(zone).date()
        asked = [(came, days[0] if days else None)] if not days or days[0] >= came else []
        for number, day in enumerate(days):
            done = days[number + 1] if number + 1 < len(days) else None
            crests = [looked[each].crest for each in days[: number + 1]]
            asked.append((day + DAY * self._days(animal, looked[day], crests), done))
        for on, done in asked:
            if on > today or (done is None and animal.horse.status == "away"):
                continue
            for stay in animal.stays:
                first = stay.from_at.astimezone(zone).date()
                last = stay.until_at and stay.until_at.astimezone(zone).date()
                is_own = stay.horse_id == animal.horse.id
                if is_own and first <= on and (last is None or last > on):
                    yield stay.yard_id, on, herd_due.met(on, done, today)

    def _days(self, animal: Animal, row: Assessment, crests: list[int | None]) -> int:
        known = [each for each in crests if each is not None]
        orders = [
            order.score_days
            for order in animal.orders
            if order.given_at <= row.corrected_at < order.until_at
        ]
        facts = due.Facts(
            animal.horse.species,
            animal.horse.laminitis,
            score_of(row),
            known[-1] if known else None,
            orders[-1] if orders else None,
        )
        return due.intervals(facts).score_days
