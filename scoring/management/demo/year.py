"""The invented year: rounds, events, mornings and answers to alerts, in the order of time.

Each step is one call of a real action, at its own instant. Nothing later than now is played.
"""

import functools
import heapq
from collections.abc import Callable, Mapping
from datetime import datetime, timedelta
from typing import Any
from uuid import UUID

from scoring.actions import alerts, assessments, seeding
from scoring.management.demo import houses, scores
from scoring.rules import ladder
from yards.actions import events

DAY = timedelta(days=1)
ARRIVING, ROUND = timedelta(hours=8), timedelta(hours=9)
MORNING = timedelta(hours=6)
# A look at the calendar every four weeks of the year, and each of the last four days: every
# morning of a year would cost more than all its readings.
SELDOM, DAILY_FOR = 28, 4
# How soon the coordinator answers, and the vet is there.
ANSWERED = {ladder.URGENT: timedelta(minutes=12), ladder.ACT: timedelta(minutes=80)}
VISITED = {ladder.URGENT: timedelta(minutes=75), ladder.ACT: timedelta(hours=20)}

Do = Callable[[datetime], None]


class Year:
    """Plays the days of one organisation, from ``began`` to ``now``."""

    def __init__(self, house: houses.House, *, seed: int, began: datetime, now: datetime) -> None:
        self.house = house
        self.began, self.now = began, now
        self._today = now.replace(hour=0, minute=0, second=0, microsecond=0)
        self._seed = seed
        self._steps: list[tuple[datetime, int, Do]] = []
        self._count = 0
        self._answering: set[tuple[UUID, int]] = set()
        self._by_ref: dict[UUID, Mapping[str, Any]] = {}

    def play(self) -> None:
        """Play every step, then bring the organisation to this very minute, with no mail left."""
        for horse in self.house.facts["horses"]:
            self._plan(horse)
        for days in range((self.now - self.began).days, 0, -1):
            if days % SELDOM == 0 or days <= DAILY_FOR:
                self._at(self._day(days) + MORNING, self._sweep)
        while self._steps:
            at, _number, do = heapq.heappop(self._steps)
            seeding.run_timers(self.house.system, until=at)
            do(at)
        seeding.run_timers(self.house.system, until=self.now)
        seeding.sweep_yards(self.house.system, now=self.now)
        seeding.silence(self.house.system)

    def _at(self, at: datetime, do: Do) -> None:
        if at <= self.now:
            self._count += 1
            heapq.heappush(self._steps, (at, self._count, do))

    def _day(self, days_ago: int) -> datetime:
        return self._today - days_ago * DAY

    def _plan(self, horse: Mapping[str, Any]) -> None:
        hand = scores.Hand(self._seed, horse)
        longest = min(horse.get("arrived", 10_000), (self.now - self.began).days - 1)
        days = [*range(horse["last"], longest + 1, horse["every"])][::-1]
        self._at(self._day(days[0]) + ARRIVING, functools.partial(self._arrive, horse))
        for day in days:
            at = self._day(day) + ROUND + timedelta(minutes=hand.minutes())
            self._at(at, functools.partial(self._score, horse, hand, day))
        for event in horse.get("events", ()):
            do = functools.partial(self._event, horse, event)
            self._at(self._day(event["days_ago"]) + ROUND, do)

    def _arrive(self, horse: Mapping[str, Any], at: datetime) -> None:
        houses.register(self.house, horse, at=at, now=self.now)
        self._by_ref[self.house.horses[horse["name"]]] = horse

    def _score(
        self, horse: Mapping[str, Any], hand: scores.Hand, days_ago: int, at: datetime
    ) -> None:
        house = self.house
        whose = house.people[hand.whose(house.facts["scorers"], house.facts.get("vet"))]
        held_by = next(
            (each.facts["name"] for each in house.people.values() if each is not whose),
            whose.facts["name"],
        )
        raw = hand.reading(
            days_ago, at, ref=str(house.horses[horse["name"]]), tape=house.tape, held_by=held_by
        )
        assessments.record_assessment(whose.viewer, raw, now=at)
        self._answer(at)

    def _event(self, horse: Mapping[str, Any], event: Mapping[str, Any], at: datetime) -> None:
        raw = {"kind": event["kind"], "at": at.isoformat(), "note": event["note"]}
        events.record_event(self.house.coordinator, self.house.horses[horse["name"]], raw, now=at)

    def _sweep(self, at: datetime) -> None:
        seeding.sweep_yards(self.house.system, now=at)
        self._answer(at)

    def _answer(self, at: datetime) -> None:
        """Let people answer what has just been opened, unless the scenario leaves it open."""
        for alert in seeding.waiting_alerts(self.house.system):
            horse = self._by_ref[alert.horse]
            if (alert.ref, alert.version) in self._answering or not horse.get("answered", True):
                continue
            self._answering.add((alert.ref, alert.version))
            self._at(at + ANSWERED[alert.severity], self._acknowledging(alert, horse))
            self._at(at + VISITED[alert.severity], self._visiting(horse))
            if alert.is_protected and "vet_ends" in self.house.facts:
                days = self.house.facts["vet_ends"]["days"]
                self._at(at + days * DAY, self._ending(alert.ref))

    def _acknowledging(self, alert: seeding.Waiting, horse: Mapping[str, Any]) -> Do:
        urgent = alert.severity == ladder.URGENT
        raw = {"next_step": self.house.facts["urgent_step" if urgent else "act_step"]}
        step = horse.get("step")

        def do(at: datetime) -> None:
            if step and not urgent:
                raw.update(next_step=step["text"], by=(at + step["days"] * DAY).isoformat())
            if any(each.ref == alert.ref for each in seeding.waiting_alerts(self.house.system)):
                alerts.acknowledge(self.house.coordinator, alert.ref, raw, now=at)

        return do

    def _visiting(self, horse: Mapping[str, Any]) -> Do:
        visit = {"kind": "vet_visited", "note": self.house.facts["visit"]}
        return functools.partial(self._event, horse, visit)

    def _ending(self, ref: UUID) -> Do:
        def do(at: datetime) -> None:
            vet = self.house.vet
            if vet is not None and seeding.is_unresolved(self.house.system, ref):
                raw = {"reason": self.house.facts["vet_ends"]["reason"]}
                alerts.resolve(vet, ref, raw, now=at)

        return do
