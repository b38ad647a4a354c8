"""A policy comes in within its limits, or every fault is named."""

from typing import Any

import pytest

from scoring.rules import ladder, policy_input
from yards.rules import errors

ALL = {"after_minutes": 0, "roles": ["coordinator"]}
NOBODY = ("steps.0.roles", "step_names_nobody")
PERSON = "0190a1a1-0000-7000-8000-000000000001"


def sent(*steps: Any, every: Any = 30, **more: Any) -> dict[str, Any]:
    return {"steps": list(steps), "repeat_minutes": every, "version": 1, "reason": "x", **more}


def faults(raw: Any, severity: str = ladder.URGENT) -> list[tuple[str, str]]:
    with pytest.raises(errors.Invalid) as refusal:
        policy_input.change(raw, severity)
    return [(each.field, each.key) for each in refusal.value.errors]


def step(after: Any, *roles: str, **more: Any) -> dict[str, Any]:
    return {"after_minutes": after, "roles": list(roles or ("coordinator",)), **more}


@pytest.mark.parametrize(
    ("raw", "found"),
    [
        (sent(), [("steps", "ladder_never_empty")]),
        (sent(step(5)), [("steps.0.after_minutes", "first_step_at_once")]),
        (sent(ALL, step(0)), [("steps.1.after_minutes", "steps_out_of_order")]),
        (sent(ALL, step(121)), [("steps.1.after_minutes", "gap_too_long")]),
        (sent({"after_minutes": 0}), [("steps.0.roles", "step_names_nobody")]),
        (sent(step(0, "auditor")), [("steps.0.roles.0", "not_a_choice"), NOBODY]),
        (sent(ALL, every=9), [("repeat_minutes", "out_of_range")]),
        (sent(ALL, every=None), [("repeat_minutes", "required")]),
        (sent(step(0, people=["x"])), [("steps.0.people.0", "not_an_id")]),
        (sent(step(0, people=[PERSON] * 501)), [("steps.0.people", "too_many")]),
        (sent(*[step(n) for n in range(9)]), [("steps", "too_many")]),
        (sent({**ALL, "when": 1}), [("steps.0.when", "unknown_field")]),
        (sent("at once"), None),
        ({**sent(ALL), "version": None, "reason": " "}, None),
    ],
)
def test_what_does_not_fit_is_named(raw: Any, found: list[tuple[str, str]] | None) -> None:
    named = faults(raw)
    assert named
    if found is not None:
        assert named == found


def test_an_act_ladder_may_begin_late_but_not_too_late() -> None:
    assert policy_input.change(sent(step(240), every=60), ladder.ACT).policy.rungs
    late = faults(sent(step(241), every=60), ladder.ACT)
    assert late == [("steps.0.after_minutes", "first_step_too_late")]


def test_what_is_only_watched_may_have_no_ladder() -> None:
    found = policy_input.change({"steps": [], "version": 1, "reason": "x"}, ladder.WATCH)
    assert found.policy.rungs == ()
    assert not found.accepts_unreached


def test_what_is_kept_is_what_was_set() -> None:
    raw = sent(step(0, "vet", "coordinator", people=[PERSON]), step(45))
    wanted = policy_input.change(raw, ladder.URGENT).policy
    said = policy_input.said(wanted)
    assert policy_input.kept(ladder.URGENT, said["steps"], said["repeat_minutes"]) == wanted
