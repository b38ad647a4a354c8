"""When a part of the service has been silent for too long. Working defaults: within two minutes."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

BEAT, WORKER, MAIL, REHEARSAL, RECONCILER = "beat", "worker", "mail", "rehearsal", "reconciler"
# Seconds after which a part that said nothing is silent. The first two speak every ten seconds, the
# others once in a round of 45; one round may be missed.
LIMITS: Mapping[str, float] = {
    BEAT: 60,
    WORKER: 60,
    MAIL: 105,
    REHEARSAL: 105,
    RECONCILER: 105,
}
# Found by the reconciler: messages that wait too long, alerts whose next step is nowhere.
UNDELIVERED, STRANDED = "undelivered", "stranded"
CLOCK, CLOCK_OFF_S = "clock", 60.0
NEVER = float("inf")


@dataclass(frozen=True, slots=True)
class Pulse:
    """How long ago a part was last seen at work, in seconds, and what it said."""

    age_s: float
    said: Mapping[str, Any] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Trouble:
    """One thing that is wrong: a part that is silent (for how long), or what was found (how many).

    ``age_s`` is NEVER for a part that was never seen.
    """

    what: str
    age_s: float = 0.0
    count: int = 0


def troubles(pulses: Mapping[str, Pulse]) -> tuple[Trouble, ...]:
    """Return what is wrong; a part that was never seen is silent too."""
    found = []
    for name, limit in LIMITS.items():
        pulse = pulses.get(name)
        if pulse is None or pulse.age_s > limit:
            found.append(Trouble(name, NEVER if pulse is None else pulse.age_s))
    told = pulses[RECONCILER].said if RECONCILER in pulses else {}
    found += [Trouble(what, count=told[what]) for what in (UNDELIVERED, STRANDED) if told.get(what)]
    off = [pulse.said.get("ahead_s", 0.0) for pulse in pulses.values()]
    worst = max(off, key=abs, default=0.0)
    if abs(worst) > CLOCK_OFF_S:
        found.append(Trouble(CLOCK, age_s=worst))
    return tuple(found)
