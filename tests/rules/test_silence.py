"""When a part is silent, and what else is told: within two minutes, and not before its time."""

import pytest

from yards.rules import silence
from yards.rules.silence import NEVER, Pulse, Trouble

WELL = dict.fromkeys(silence.LIMITS, Pulse(1.0))


def test_nothing_is_wrong_while_all_speak() -> None:
    assert silence.troubles(WELL) == ()


@pytest.mark.parametrize("name", silence.LIMITS)
def test_each_part_is_told_when_it_is_silent_and_when_it_was_never_seen(name: str) -> None:
    limit = silence.LIMITS[name]
    assert silence.troubles({**WELL, name: Pulse(limit)}) == ()
    assert silence.troubles({**WELL, name: Pulse(limit + 1)}) == (Trouble(name, limit + 1),)
    never = {other: pulse for other, pulse in WELL.items() if other != name}
    assert silence.troubles(never) == (Trouble(name, NEVER),)


def test_silence_is_noticed_within_two_minutes() -> None:
    # Looked at each five seconds by the pages.
    assert max(silence.LIMITS.values()) + 5 <= 120


def test_what_was_found_is_told_with_its_count() -> None:
    found = Pulse(1.0, {silence.UNDELIVERED: 3, silence.STRANDED: 0})
    told = silence.troubles({**WELL, silence.RECONCILER: found})
    assert told == (Trouble(silence.UNDELIVERED, count=3),)


@pytest.mark.parametrize(("ahead", "told"), [(3600.0, 1), (-3600.0, 1), (60.0, 0), (-2.0, 0)])
def test_a_clock_that_is_off_is_told_whichever_way(ahead: float, told: int) -> None:
    pulses = {**WELL, silence.WORKER: Pulse(1.0, {"ahead_s": ahead})}
    assert [each.what for each in silence.troubles(pulses)] == [silence.CLOCK] * told
