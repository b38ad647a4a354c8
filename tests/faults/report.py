"""Says what runs came to: a table, JSON, and what all recorded runs come to together.

Where n kills lost nothing, the chance of a loss in one kill is below 3/n with 95% confidence
(Hanley and Lippman-Hand 1983, JAMA 249:1743-1745, from memory).
"""

import json
import sys
from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path
from typing import Any

from tests.faults import breaking
from tests.faults.run import Outcome

DEFINITE = (
    *("readings_lost", "alerts_lost", "notices_undelivered", "untold", "escalations_missing"),
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
    """Return a run as JSON keeps it."""
    delays = outcome.verdict.delays if outcome.waits else {}
    calm = delays.get("", [])
    killed = [each for name, found in delays.items() if name in breaking.KILLS for each in found]
    every = [each for found in delays.values() for each in found]
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
        "calm_p99_s": rank(calm, 0.99),
        "after_kill_p99_s": rank(killed, 0.99),
        "after_kill_worst_s": max(killed, default=0.0),
        "worst_s": max(every, default=0.0),
        "worst_by_fault_s": {name or "calm": max(found) for name, found in sorted(delays.items())},
    }


def table(found: Mapping[str, Any]) -> str:
    """Return a run, or all of them, as a table."""
    rows = [(name.replace("_", " "), value) for name, value in found.items()]
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
    names = ("attempted", "acknowledged", "unknown", "recovered", "messages", "late", "stalls")
    sums = {name: sum(run[name] for run in every) for name in (*names, *DEFINITE)}
    worst = max((run["worst_s"] for run in every), default=0.0)
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
        "calm_p99_s": max((run["calm_p99_s"] for run in every), default=0.0),
        "after_kill_p99_s": max((run["after_kill_p99_s"] for run in every), default=0.0),
        "after_kill_worst_s": max((run["after_kill_worst_s"] for run in every), default=0.0),
        "worst_s": worst,
        **bounds,
    }


def is_green(outcome: Outcome) -> bool:
    """Say whether nothing happened that must not."""
    return not outcome.verdict.bad()
