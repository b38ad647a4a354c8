"""The invented years: rounds, weighings, events, mornings and answers, in the order of time."""

import functools
from collections.abc import Mapping
from datetime import datetime, timedelta
from typing import Any

from scoring.actions import assessments, fitting, seeding, weighings
from scoring.management.demo import answers, days, houses, lives, scores

ARRIVING, ROUND, LATER = timedelta(hours=8), timedelta(hours=9), timedelta(hours=15)
MORNING = timedelta(hours=6)
# A look at the calendar every five weeks of the past, and each of the last four days: every
# morning would cost more than all the readings.
SELDOM, DAILY_FOR = 35, 4


class Year:
    """Plays the days of one organisation, from ``began`` to ``now``."""

    def __init__(self, house: houses.House, *, seed: int, began: datetime, now: datetime) -> None:
        self.house = house
        self._seed = seed
        self._days = days.Days(house.system, began=began, now=now)
        self._answers = answers.Answers(house, self._days)

    def play(self) -> None:
        """Play every step, then bring the organisation to this very minute, with no mail left."""
        for horse in self.house.animals:
            self._plan(horse)
        for day in range(self._days.length, 0, -1):
            if day % SELDOM == 0 or day <= DAILY_FOR:
                self._days.plan(self._days.day(day) + MORNING, self._sweep)
        for at in self._days.play():
            self._answers.give(at)
        fitting.learn(self.house.system, now=self._days.now)
        seeding.sweep_yards(self.house.system, now=self._days.now)
        seeding.silence(self.house.system, now=self._days.now)

    def _plan(self, horse: Mapping[str, Any]) -> None:
        course = scores.Course(self._seed, horse)
        longest = min(horse.get("arrived", self._days.length), self._days.length - 1)
        rounds = [*range(horse["last"], longest + 1, horse["every"])][::-1]
        arrived = self._days.day(rounds[0]) + ARRIVING
        self._days.plan(arrived, functools.partial(self._arrive, horse))
        for day in rounds:
            at = self._days.day(day) + ROUND + timedelta(minutes=course.minutes())
            self._days.plan(at, functools.partial(self._score, course, day))
        for day in range(horse["last"], rounds[0], horse.get("weigh_every", 10_000)):
            if day not in rounds:
                at = self._days.day(day) + LATER
                self._days.plan(at, functools.partial(self._weigh, course, day, ""))
        for day in horse.get("bridge", ()):
            weigh = functools.partial(self._weigh, course, day, self.house.bridge)
            self._days.plan(self._days.day(day) + LATER, weigh)
        for told in horse.get("life", ()):
            do = functools.partial(lives.live, self.house, horse, told)
            self._days.plan(self._days.day(told["days_ago"]) + LATER, do)

    def _arrive(self, horse: Mapping[str, Any], at: datetime) -> bool:
        houses.register(self.house, horse, at=at, now=self._days.now)
        return False

    def _score(self, course: scores.Course, days_ago: int, at: datetime) -> bool:
        house, horse = self.house, course.horse
        whose = course.whose(house.facts["scorers"], house.facts.get("vet"))
        viewer, ref = house.people[whose].viewer, house.horses[horse["name"]]
        raw = course.reading(days_ago, at, house.scorer(whose, horse["name"]), str(ref))
        found = assessments.record_assessment(viewer, raw, now=at)
        house.readings[horse["name"], days_ago] = houses.Recorded(found.id, viewer, raw)
        return bool(found.alerts)

    def _weigh(self, course: scores.Course, days_ago: int, bridge: str, at: datetime) -> bool:
        house, name = self.house, course.horse["name"]
        whose = course.whose(house.facts["scorers"], house.facts.get("vet"))
        weight = course.weight(days_ago, at, house.scorer(whose, name), bridge)
        raw = {"horse": str(house.horses[name]), "taken_at": at.isoformat(), **weight}
        weighings.record_weighing(house.people[whose].viewer, raw, now=at)
        return True

    def _sweep(self, at: datetime) -> bool:
        seeding.sweep_yards(self.house.system, now=at)
        return True
