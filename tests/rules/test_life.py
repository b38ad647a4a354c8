"""The life of an alert cannot come to a silent end: a machine of random acts holds its invariants.

Many steps by ``HALFPOINT_LIVES`` (seeds x steps, as 100x1000); few without, as in every test run.
"""

import os
from dataclasses import dataclass, field
from datetime import UTC, datetime, time, timedelta

import pytest
from hypothesis import HealthCheck, seed, settings
from hypothesis import strategies as st
from hypothesis.stateful import (
    RuleBasedStateMachine,
    initialize,
    invariant,
    precondition,
    rule,
    run_state_machine_as_test,
)

from scoring.rules import ladder, life, policy
from scoring.rules.life import Life
from scoring.rules.policy import Hours, Policy, Rung
from tests.rules.test_policy import ZONES
from yards.rules.roles import Role

MINUTE = timedelta(minutes=1)
RULES = ("danger_signs", "fat_in_spring", "crest_raised")
TOLD = (ladder.URGENT, ladder.ACT)


@dataclass
class Told:
    """A message as it went: of which rule and episode, how grave, when, what number."""

    rule: str
    episode: int
    severity: str
    at: datetime
    number: int


@dataclass
class World:
    """One horse, its alerts by rule, and every message that went."""

    now: datetime
    hours: Hours
    policies: dict[str, Policy]
    alerts: dict[str, Life] = field(default_factory=dict)
    told: list[Told] = field(default_factory=list)
    episodes: dict[str, int] = field(default_factory=dict)

    def keep(self, name: str, after: Life) -> None:
        before = self.alerts.get(name)
        if after.told_at == self.now and (before is None or after.tellings > before.tellings):
            episode = self.episodes.get(name, 0)
            self.told.append(Told(name, episode, after.severity, self.now, after.tellings))
        self.alerts[name] = after

    def stir(self, name: str, *, seen: bool) -> None:
        """Do what the alert's own timer does."""
        held, at = self.alerts[name], (self.now, self.hours)
        wanted = self.policies[held.severity]
        if held.state == ladder.OPEN:
            self.keep(name, life.told(held, wanted, *at))
        elif held.state == ladder.ACKNOWLEDGED:
            self.keep(name, life.followed_up(held, wanted, *at, seen=seen))
        elif held.state == ladder.SNOOZED:
            self.keep(name, life.woken(held, wanted, *at))

    def due(self) -> list[str]:
        return sorted(
            name
            for name, held in self.alerts.items()
            if held.next_at is not None and held.next_at <= self.now
        )


rungs = st.sets(st.integers(0, 480), min_size=1, max_size=4).map(sorted)
evenings = st.one_of(st.none(), st.integers(18, 23).map(time))
mornings = st.integers(1, 9).map(time)


@st.composite
def policies(draw: st.DrawFn) -> dict[str, Policy]:
    found = {ladder.WATCH: policy.DEFAULT[ladder.WATCH]}
    for severity in TOLD:
        afters = draw(rungs)
        afters[0] = 0 if severity == ladder.URGENT else afters[0]
        steps = tuple(Rung(n * MINUTE, frozenset({Role.COORDINATOR})) for n in afters)
        found[severity] = Policy(severity, steps, draw(st.integers(10, 480)) * MINUTE)
    return found


class Alerts(RuleBasedStateMachine):
    """Findings, answers, clocks and outages in any order."""

    @initialize(
        wanted=policies(),
        zone=st.sampled_from(ZONES),
        quiet=st.tuples(evenings, mornings),
        day=st.integers(0, 399),
    )
    def begin(
        self, wanted: dict[str, Policy], zone: str, quiet: tuple[time | None, time | None], day: int
    ) -> None:
        start = datetime(2026, 1, 1, tzinfo=UTC) + timedelta(days=day)
        self.world = World(start, Hours(zone, *quiet), wanted)

    def open_ones(self, *states: str) -> list[str]:
        return sorted(
            name for name, held in self.world.alerts.items() if held.state in states or not states
        )

    @rule(
        name=st.sampled_from(RULES), severity=st.sampled_from(ladder.SEVERITIES), wait=st.booleans()
    )
    def find(self, name: str, severity: str, wait: bool) -> None:
        world, held = self.world, self.world.alerts.get(name)
        at = (world.now, world.hours)
        others = {each: world.alerts[each] for each in world.alerts if each != name}
        if held is None or held.state == ladder.RESOLVED:
            later = world.now + 5 * MINUTE if wait else None
            made = life.opened(world.policies[severity], *at, not_before=later)
            world.alerts.pop(name, None)
            world.episodes[name] = world.episodes.get(name, 0) + 1
            world.keep(name, made)
        else:
            graver = max(severity, held.severity, key=ladder.rank)
            after = life.found_again(held, world.policies[graver], *at)
            if ladder.rank(severity) <= ladder.rank(held.severity) and not life.is_broken(
                held, world.now
            ):
                assert after == held, "a lesser finding changed what was told"
            elif severity == ladder.URGENT:
                assert after.told_at == world.now, "what rose to urgent was not told at once"
            world.keep(name, after)
        assert others == {each: world.alerts[each] for each in others}
        if severity == ladder.URGENT and (held is None or held.state == ladder.RESOLVED):
            assert world.alerts[name].told_at == world.now

    @rule(minutes=st.integers(1, 600), seen=st.booleans())
    def time_passes(self, minutes: int, seen: bool) -> None:
        """The clock runs on, and beat does in order what falls due, each at its time."""
        world, end = self.world, self.world.now + minutes * MINUTE
        while True:
            nexts = [each.next_at for each in world.alerts.values() if each.next_at is not None]
            first = min(nexts, default=end)
            if first > end:
                break
            world.now = max(first, world.now)
            for name in world.due():
                world.stir(name, seen=seen)
                after = world.alerts[name].next_at
                assert after is None or after > world.now or self._unclimbed(name)
            if not nexts:
                break
        world.now = max(end, world.now)

    def _unclimbed(self, name: str) -> bool:
        """Return whether rungs are left, which may follow one another at once after an outage."""
        held = self.world.alerts[name]
        return held.step + 1 < len(self.world.policies[held.severity].rungs)

    @rule(hours=st.integers(1, 72))
    def nobody_runs_timers(self, hours: int) -> None:
        self.world.now += timedelta(hours=hours)

    @precondition(lambda self: self.open_ones("open", "acknowledged", "snoozed"))
    @rule(data=st.data(), minutes=st.integers(1, 2880))
    def acknowledge(self, data: st.DataObject, minutes: int) -> None:
        name = data.draw(st.sampled_from(self.open_ones("open", "acknowledged", "snoozed")))
        by = self.world.now + minutes * MINUTE
        self.world.keep(name, life.acknowledged(self.world.alerts[name], by))

    @precondition(lambda self: self.open_ones("open", "acknowledged"))
    @rule(data=st.data(), minutes=st.integers(1, 2880))
    def snooze(self, data: st.DataObject, minutes: int) -> None:
        name = data.draw(st.sampled_from(self.open_ones("open", "acknowledged")))
        until = self.world.now + minutes * MINUTE
        if self.world.alerts[name].severity != ladder.URGENT:
            self.world.keep(name, life.snoozed(self.world.alerts[name], until))

    @precondition(lambda self: self.open_ones("open", "acknowledged", "snoozed"))
    @rule(data=st.data())
    def resolve(self, data: st.DataObject) -> None:
        name = data.draw(st.sampled_from(self.open_ones("open", "acknowledged", "snoozed")))
        self.world.keep(name, life.resolved(self.world.alerts[name]))

    @rule(wanted=policies())
    def policies_change(self, wanted: dict[str, Policy]) -> None:
        self.world.policies = wanted

    @invariant()
    def what_is_open_stirs_again(self) -> None:
        for name, held in getattr(self, "world", World(*_NOTHING)).alerts.items():
            if held.state == ladder.OPEN and held.severity in TOLD:
                assert held.next_at is not None, f"{name} is open and would never be told again"
            if held.exhausted_at is not None:
                assert held.state == ladder.OPEN
                assert held.next_at is not None, "an exhausted ladder no longer repeats"
            if held.state == ladder.SNOOZED:
                assert held.next_at == held.snoozed_until
            if held.state == ladder.ACKNOWLEDGED and not life.is_broken(held, self.world.now):
                assert held.next_at == held.next_step_by
            if held.state == ladder.RESOLVED:
                assert held.next_at is None

    @invariant()
    def no_message_goes_twice(self) -> None:
        told = getattr(self, "world", World(*_NOTHING)).told
        seen = [(each.rule, each.episode, each.number) for each in told]
        assert len(seen) == len(set(seen))

    @invariant()
    def quiet_hours_hold_back_all_but_urgent(self) -> None:
        world = getattr(self, "world", None)
        if world is not None and world.told and world.told[-1].severity != ladder.URGENT:
            last = world.told[-1]
            # A timer that was run late may find the yard asleep; then it waits for the morning.
            assert last.at == policy.awake(last.severity, last.at, world.hours)

    def teardown(self) -> None:
        """Left to itself for long enough, everything open is told, and every rest has ended."""
        world = getattr(self, "world", None)
        if world is None:
            return
        self.time_passes(60 * 24 * 6, seen=False)
        for held in world.alerts.values():
            assert held.state in (ladder.OPEN, ladder.RESOLVED)
            if held.state == ladder.OPEN and held.severity in TOLD:
                assert held.told_at is not None
                assert held.exhausted_at is not None


_NOTHING: tuple[datetime, Hours, dict[str, Policy]] = (
    datetime(2026, 1, 1, tzinfo=UTC),
    Hours("UTC"),
    {},
)
SEEDS, STEPS = (int(each) for each in os.environ.get("HALFPOINT_LIVES", "2x60").split("x"))


@pytest.mark.parametrize("number", range(SEEDS))
def test_an_alert_s_life_never_comes_to_a_silent_end(number: int) -> None:
    run_state_machine_as_test(
        seed(number)(Alerts),
        settings=settings(
            max_examples=20 if SEEDS < 100 else 1,
            stateful_step_count=STEPS,
            deadline=None,
            database=None,
            suppress_health_check=list(HealthCheck),
        ),
    )
