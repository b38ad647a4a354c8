"""What people do about alerts in the invented past: answer, visit, and in the end resolve."""

from collections.abc import Mapping
from datetime import datetime, timedelta
from typing import Any
from uuid import UUID

from scoring.actions import alerts, seeding
from scoring.management.demo import days, houses
from scoring.rules import ladder
from yards.actions import events

# How soon the coordinator answers, and the vet is there.
ANSWERED = {ladder.URGENT: timedelta(minutes=12), ladder.ACT: timedelta(minutes=80)}
VISITED = {ladder.URGENT: timedelta(minutes=75), ladder.ACT: timedelta(hours=20)}


class Answers:
    """The coordinator and the vet of one house, and what they have taken on."""

    def __init__(self, house: houses.House, plan: days.Days) -> None:
        self.house, self._plan = house, plan
        self._taken: set[tuple[UUID, int]] = set()

    def give(self, at: datetime) -> None:
        """Let people answer what stands open, unless the scenario leaves it open."""
        for alert in seeding.waiting_alerts(self.house.system):
            horse = self.house.named[alert.horse]
            if (alert.ref, alert.version) in self._taken or not horse.get("answered", True):
                continue
            self._taken.add((alert.ref, alert.version))
            self._plan.plan(at + ANSWERED[alert.severity], self._acknowledging(alert, horse))
            self._plan.plan(at + VISITED[alert.severity], self._visiting(horse))
            if alert.is_protected and "vet_ends" in self.house.facts:
                ends = self.house.facts["vet_ends"]["days"] * days.DAY
                self._plan.plan(at + ends, self._ending(alert.ref))

    def _acknowledging(self, alert: seeding.Waiting, horse: Mapping[str, Any]) -> days.Do:
        urgent = alert.severity == ladder.URGENT
        raw = {"next_step": self.house.facts["urgent_step" if urgent else "act_step"]}
        step = horse.get("step")

        def do(at: datetime) -> bool:
            if step and not urgent:
                raw.update(next_step=step["text"], by=(at + step["days"] * days.DAY).isoformat())
            if any(each.ref == alert.ref for each in seeding.waiting_alerts(self.house.system)):
                alerts.acknowledge(self.house.coordinator, alert.ref, raw, now=at)
            return True

        return do

    def _visiting(self, horse: Mapping[str, Any]) -> days.Do:
        def do(at: datetime) -> bool:
            raw = {"kind": "vet_visited", "at": at.isoformat(), "note": self.house.facts["visit"]}
            events.record_event(
                self.house.coordinator, self.house.horses[horse["name"]], raw, now=at
            )
            return True

        return do

    def _ending(self, ref: UUID) -> days.Do:
        def do(at: datetime) -> bool:
            vet = self.house.vet
            if vet is not None and seeding.is_unresolved(self.house.system, ref):
                raw = {"reason": self.house.facts["vet_ends"]["reason"]}
                alerts.resolve(vet, ref, raw, now=at)
            return True

        return do
