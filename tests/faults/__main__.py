"""``python -m tests.faults``, as ``deploy/faults`` runs it."""

import argparse
import json
import os
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from typing import Any

from deploy.launch import start
from deploy.launch.programs import BASE
from tests.faults import controls, ground, report, run, silence, site
from tests.faults.run import Outcome, Plan


def main(argv: list[str]) -> int:
    """Run, and print what was found; 0 when nothing was lost, or every control was caught."""
    given = _arguments(argv)
    start.heed_signals()
    kept = given.keep or Path(tempfile.mkdtemp(prefix="halfpoint-history-"))
    kept.mkdir(parents=True, exist_ok=True)
    began = time.monotonic()
    with site.opened() as stands:
        ground.prepare(stands.up.environ)
        if not stands.can_fill:
            report.say("The disk is not filled: no file system could be mounted here (needs root).")
        if given.silence:
            return silence.report_all(stands, kept)
        if given.controls:
            return controls.report_all(stands, kept, given.only)
        faults = given.only or run.deck(given.seed, given.kills)
        plan = Plan(given.seed, faults, given.minutes, waits=not given.close)
        outcome = run.attack(stands, plan, kept / f"history-{given.seed}.jsonl")
    found = report.facts(outcome, _commit())
    _told(given, outcome, found)
    report.say(f"\nHistory: {kept}. All of it took {time.monotonic() - began:.0f} s.")
    return 0 if report.is_green(outcome) else 1


def _told(given: argparse.Namespace, outcome: Outcome, found: dict[str, Any]) -> None:
    report.say(report.table(found))
    if given.json:
        given.json.write_text(json.dumps(found, indent=1) + "\n")
    if given.record:
        report.say("\nAll runs together:\n")
        report.say(report.table(report.together(report.recorded(given.record, found))))
    bad = outcome.verdict.bad()
    said = ", ".join(f"{name.replace('_', ' ')} {count}" for name, count in bad.items())
    report.say(f"\nseed {outcome.seed}: {'green' if not bad else 'NOT GREEN: ' + said}")


def _commit() -> str:
    if named := os.environ.get("FAULTS_COMMIT"):  # of a copy that has no history beside it
        return named
    asked = ["git", "-C", str(BASE), "rev-parse", "--short=12", "HEAD"]
    done = subprocess.run(asked, capture_output=True, text=True, check=False)
    return done.stdout.strip() or "unknown"


def _arguments(argv: list[str]) -> argparse.Namespace:
    parser = argparse.ArgumentParser(prog="deploy/faults", description=__doc__)
    parser.add_argument("--kills", type=int, default=100, help="so many processes are killed")
    parser.add_argument("--seed", type=int, default=1, help="the same seed breaks the same")
    parser.add_argument("--minutes", type=float, default=60, help="begin no fault after these")
    parser.add_argument("--record", type=Path, help="a file that keeps each run's figures")
    parser.add_argument("--json", type=Path, help="a file for this run's figures")
    parser.add_argument("--keep", type=Path, help="a folder for the history of what was done")
    parser.add_argument("--controls", action="store_true", help="break it on purpose, six ways")
    parser.add_argument(
        "--close",
        action="store_true",
        help="kill again before it has recovered; no delays are told",
    )
    parser.add_argument("--silence", action="store_true", help="how soon silence is noticed")
    parser.add_argument("--only", action="append", help="only this fault, or this control")
    return parser.parse_args(argv)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
