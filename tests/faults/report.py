"""Says what runs came to: a table, JSON, and what all recorded runs come to together.

Where n kills lost nothing, the chance of a loss in one kill is below 3/n with 95% confidence
(Hanley and Lippman-Hand 1983, JAMA 249:1743-1745, from memory).
"""

import json
import sys
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path
from typing import Any

from tests.faults import breaking, judge
from tests.faults.run import Outcome

DELAYS = "delays_s"
DEFINITE = (
    *("readings_lost", "alerts_lost", "notices_undelivered", "untold", "escalations_missing"),
    "messages_from_nowhere",
    *("duplicates_after_dedupe", "readings_doubled", "readings_from_nowhere", "leaked_rows"),
)


def say(text: str) -> None:
    """Say a line, at once."""
    sys.stdout.write(f"{text}\n")
    sys.stdout.flush()


def three_over(n: int) -> float:
    """Return the upper 95% bound of a chance that did not come true in n independent trials."""
    if n < 1:
        raise ValueError("nothing was tried")
    return min(1.0, 3 / n)


def rank(values: Sequence[float], share: float) -> float:
    """Return the nearest-rank percentile: the least value that so great a share does not pass."""
    if not values:
        return 0.0
    ordered = sorted(values)
    at = -(-len(ordered) * round(share * 1000) // 1000)
    return ordered[max(1, at) - 1]


def facts(outcome: Outcome, commit: str) -> dict[str, Any]:
    """Return a run as JSON keeps it, with every delay, so that runs can be told together."""
    delays = outcome.verdict.delays if outcome.waits else {}
    done = {name: outcome.done.count(name) for name in dict.fromkeys(sorted(outcome.done))}
    return {
        "seed": outcome.seed,
        "commit": commit,
        "kills": outcome.kills,
        "faults": len(outcome.done),
        "seconds": outcome.seconds,
        "done": done,
        "left_out": outcome.left_out,
        **outcome.verdict.counts(),
        **delays_told(delays),
        "worst_by_fault_s": {
            name or "undisturbed": max(found) for name, found in sorted(delays.items())
        },
        DELAYS: {name: sorted(found) for name, found in sorted(delays.items())},
    }


def delays_told(delays: Mapping[str, Sequence[float]]) -> dict[str, Any]:
    """Return what seconds from the commit of an alert to the receiver come to, by whether one kill,
    something else or nothing met the message on its way."""
    killed = [each for name, found in delays.items() if name in breaking.KILLS for each in found]
    still = delays.get(judge.UNDISTURBED, [])
    other = [
        each
        for name, found in delays.items()
        if name not in breaking.KILLS and name != judge.UNDISTURBED
        for each in found
    ]
    return {
        f"{name}_{what}": value
        for name, found in (("undisturbed", still), ("one_kill", killed), ("other_fault", other))
        for what, value in (
            ("alerts", len(found)),
            ("median_s", rank(found, 0.5)),
            ("p99_s", rank(found, 0.99)),
            ("worst_s", max(found, default=0.0)),
        )
    }


def table(found: Mapping[str, Any]) -> str:
    """Return a run, or all of them, as a table."""
    rows = [(name.replace("_", " "), value) for name, value in found.items() if name != DELAYS]
    plain = [(name, value) for name, value in rows if not isinstance(value, dict | list)]
    lines = ["| what | found |", "|---|---|"]
    lines += [f"| {name} | {value} |" for name, value in plain]
    for name, value in rows:
        if isinstance(value, dict) and value:
            said = ", ".join(f"{key} {each}" for key, each in value.items())
            lines.append(f"| {name} | {said} |")
        if isinstance(value, list) and value:
            lines.append(f"| {name} | {', '.join(map(str, value))} |")
    return "\n".join(lines)


def recorded(path: Path, found: Mapping[str, Any] | None = None) -> list[dict[str, Any]]:
    """Add a run to the file of all runs, if one is given, and return what is in it."""
    if found is not None:
        with path.open("a", encoding="utf-8") as file:
            file.write(json.dumps(found) + "\n")
    if not path.exists():
        return []
    return [json.loads(line) for line in path.read_text(encoding="utf-8").splitlines() if line]


def together(runs: Iterable[Mapping[str, Any]]) -> dict[str, Any]:
    """Return what all runs come to."""
    every = list(runs)
    kills = sum(run["kills"] for run in every)
    names = (
        *("attempted", "acknowledged", "alarming", "unknown", "recovered", "messages", "late"),
        *("stalls", "sent_again_under_one_key"),
    )
    sums = {name: sum(run[name] for run in every) for name in (*names, *DEFINITE)}
    delays: dict[str, list[float]] = defaultdict(list)
    for run in every:
        for name, found in run[DELAYS].items():
            delays[name] += found
    bounds = {
        f"{name}, at most in one kill (95%)": f"{three_over(kills):.2%}"
        for name in ("readings_lost", "alerts_lost", "notices_undelivered")
        if kills and not sums[name]
    }
    return {
        "runs": len(every),
        "seeds": [run["seed"] for run in every],
        "kills": kills,
        "faults": sum(run["faults"] for run in every),
        **sums,
        **delays_told(delays),
        **bounds,
    }


def is_green(outcome: Outcome) -> bool:
    """Say whether nothing happened that must not."""
    return not outcome.verdict.bad()
