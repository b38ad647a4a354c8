"""A short seeded run on servers of its own, and whether the harness can tell at all.

``deploy/faults`` runs hundreds of kills; this one sees that the way there still works.
"""

import importlib
import os
from pathlib import Path

import pytest

from tests.faults import breaking, controls, ground, judge, report, run, site
from tests.faults.judge import Verdict
from tests.faults.posting import Reading
from tests.faults.receiver import Message
from tests.outside import FROM_MEMORY, outside

FAULTS = ("worker process", "database, all of it")


@pytest.mark.long
def test_a_short_run_loses_nothing(template: str, tmp_path: Path) -> None:
    with site.opened() as stands:
        ground.bring(stands.up.environ, dict(os.environ), template)
        plan = run.Plan(seed=7, faults=FAULTS, calm=1.0, every=2)
        outcome = run.attack(stands, plan, tmp_path / "history.jsonl")
    assert outcome.done == list(FAULTS)
    assert outcome.verdict.bad() == {}
    assert outcome.verdict.acknowledged >= run.READINGS * len(FAULTS)
    assert outcome.verdict.messages >= 2 * outcome.verdict.alarming > 0
    assert sum(map(len, outcome.verdict.delays.values())) >= outcome.verdict.alarming
    assert (tmp_path / "history.jsonl").read_text().count('"fault"') == len(FAULTS)


def test_an_order_is_the_same_for_the_same_seed_and_has_everything_in_it() -> None:
    assert run.deck(3, 100) == run.deck(3, 100) != run.deck(4, 100)
    found = run.deck(3, 100)
    kills = [name for name in found if name in breaking.KILLS]
    assert len(kills) == 100
    assert set(found) == breaking.FAULTS.keys()
    for name, (_, share) in breaking.KILLS.items():
        assert kills.count(name) == 10 * share


@pytest.mark.parametrize("name", [name for name in controls.CONTROLS if name != controls.WHOLE])
def test_a_control_still_finds_what_it_breaks(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """A name that it replaces and that is gone would leave the service whole."""
    replaced = {
        "after_commit": ("scoring.actions.notices", "write"),
        "countdown": ("scoring.actions.timer_rows", "plan"),
        "check_then_insert": ("yards.actions.once", "insert"),
        "session_setting": ("yards.isolation", "_set"),
        "no_force": ("yards.isolation.catalog", "gate"),
    }
    broken = importlib.import_module(f"tests.faults.controls.{name}")
    if name not in replaced:
        assert controls.CONTROLS[name].sql
        return
    module = importlib.import_module(replaced[name][0])
    whole = getattr(module, replaced[name][1])
    monkeypatch.setattr(module, replaced[name][1], whole)
    broken.breaks()
    assert getattr(module, replaced[name][1]) is not whole


HORSES = ground.herd(3)


def reading(number: int, outcome: str = "ok") -> Reading:
    return Reading(f"r{number}", HORSES[number], b"", outcome=outcome, alerts=1)


def message(numbers: str, key: str, subject: str = "Now", to: str = "isolde@x") -> Message:
    named = frozenset(HORSES[int(each)].name for each in numbers)
    return Message(10.0, key, to, f"{subject}: Top Barn: thin", named)


def test_what_was_received_is_counted_by_person_horse_and_key() -> None:
    got = judge.received(
        [
            message("0", "a"),
            message("0", "a"),  # once more under its key: no duplicate
            message("0", "b", to="vet@x"),
            message("1", "c"),
            message("1", "d"),  # a second first message is one too many
            message("12", "e", judge.LAST_RUNG),  # several horses in one
            message("1", "f", judge.LAST_RUNG),
            message("2", "g", judge.LAST_RUNG),
        ]
    )
    assert set(got.told) == {HORSES[0].name, HORSES[1].name}
    assert got.called == {HORSES[1].name, HORSES[2].name}
    assert got.again == 1
    # The last rung repeats: of 1 it was climbed twice, of 2 once, so that one of these is too many.
    assert got.doubled({HORSES[1].name: 3, HORSES[2].name: 2}) == 1 + 1
    assert got.doubled({HORSES[1].name: 3, HORSES[2].name: 3}) == 1


def test_a_delay_is_laid_to_the_one_fault_that_met_it() -> None:
    windows = [judge.Window("beat", 10, 20), judge.Window("web", 30, 40)]
    found = [judge.disturbed_by(*each, windows) for each in ((1, 9), (21, 29), (9, 11), (19, 25))]
    assert found == [judge.UNDISTURBED, judge.UNDISTURBED, "beat", "beat"]
    assert judge.disturbed_by(15, 30, windows) == judge.SEVERAL


@pytest.mark.parametrize("name", judge.BAD)
def test_anything_that_must_not_be_is_bad(name: str) -> None:
    verdict = Verdict(**{name: 1})  # type: ignore[arg-type]
    assert verdict.bad() == {name: 1}
    assert not report.is_green(run.Outcome(1, verdict=verdict))
    assert reading(0).outcome == "ok"


@outside(
    "0 of n trials: the chance is below 3/n with 95% confidence, so 3% of 100 and 0.6% of 500",
    source="Hanley and Lippman-Hand 1983, JAMA 249:1743",
    status=FROM_MEMORY,
)
def test_the_rule_of_three() -> None:
    assert (report.three_over(100), report.three_over(500)) == (0.03, 0.006)
    # The exact bound is 1 - 0.05 ** (1/n); the rule lies just above it.
    for n in (30, 100, 500):
        exact = 1 - 0.05 ** (1 / n)
        assert exact < report.three_over(n) < exact * 1.06


def test_percentiles_are_by_nearest_rank() -> None:
    assert report.rank([float(n) for n in range(1, 101)], 0.99) == 99
    assert (report.rank([5.0], 0.99), report.rank([], 0.99)) == (5.0, 0.0)


def test_runs_together_are_told_from_all_their_delays() -> None:
    first, second = (
        report.facts(run.Outcome(seed, done=["beat"], verdict=Verdict(delays=delays)), "c")
        for seed, delays in ((1, {"": [1.0, 2.0], "beat": [9.0]}), (2, {"": [3.0], "disk": [7.0]}))
    )
    found = report.together([first, second])
    assert (found["kills"], found["undisturbed_alerts"], found["undisturbed_p99_s"]) == (2, 3, 3.0)
    assert (found["one_kill_worst_s"], found["other_fault_worst_s"]) == (9.0, 7.0)
    assert report.DELAYS.replace("_", " ") not in report.table(first)
