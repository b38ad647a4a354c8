"""``python -m tests.planted.run``, as ``deploy/planted`` runs it: is each planted bug caught?

First the tests that the patches name must pass on the tree as it is; then each patch is applied to
a copy of it, and one of its tests must fail.
"""

import argparse
import contextlib
import queue
import sys
import tempfile
import threading
import time
from collections.abc import Iterator, Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path

from deploy.launch import start
from tests.copies import ROOT
from tests.planted import lane, patches
from tests.planted.lane import Lane, Ran
from tests.planted.patches import Patch

LANES = 2
# What no test here needs, and takes its time to load.
LEFT_OUT = ("playwright", "base_url", "schemathesis")
ALONE = ("-x", "-p", "tests.planted.sharing", *(f"-pno:{each}" for each in LEFT_OUT))


@dataclass(frozen=True)
class Found:
    """What came of one patch."""

    patch: Patch
    ran: Ran

    @property
    def said(self) -> str:
        """The test that failed first, or why none did."""
        if self.ran.is_caught:
            return self.ran.failed[0]
        if self.ran.broken:
            return f"NOT CAUGHT: {self.ran.broken[0]} could not be run"
        return f"NOT CAUGHT: pytest ended with {self.ran.code}"


def main(argv: list[str]) -> int:
    """Run, and print a row a patch; 0 when every bug was caught."""
    parser = argparse.ArgumentParser(prog="deploy/planted", description=__doc__)
    parser.add_argument("--only", action="append", help="patches whose names begin so")
    given = parser.parse_args(argv)
    began, known = time.monotonic(), patches.all_of()
    chosen = [
        patch
        for name, patch in known.items()
        if not given.only or name.startswith(tuple(given.only))
    ]
    changed = {patch.name: patch.applied(ROOT) for patch in chosen}
    with _lanes() as lanes:
        control = _control(lanes[0], chosen)
        if control.code:
            _say(f"{control.said}\n\nNOT GREEN: these tests fail without any patch.")
            return 1
        found = _all(lanes, chosen, changed, lanes[0].templates)
    caught = sum(each.ran.is_caught for each in found)
    _say(f"\n{caught} of {len(found)} caught, in {time.monotonic() - began:.0f} s.")
    return 0 if found and caught == len(found) else 1


@contextlib.contextmanager
def _lanes() -> Iterator[list[Lane]]:
    with contextlib.ExitStack() as kept:
        folder = Path(kept.enter_context(tempfile.TemporaryDirectory(prefix="halfpoint-planted-")))
        yield [
            kept.enter_context(lane.opened(ROOT, folder / f"lane-{number}"))
            for number in range(LANES)
        ]


def _control(whole: Lane, chosen: Sequence[Patch]) -> Ran:
    tests = sorted({each for patch in chosen for each in patch.tests})
    ran = whole.run(tests, "-n", str(LANES), within=900)
    if not ran.code:
        _say(f"Without any patch {len(tests)} tests pass ({ran.seconds:.0f} s).")
    return ran


def _all(
    lanes: Sequence[Lane],
    chosen: Sequence[Patch],
    changed: Mapping[str, Mapping[str, str]],
    templates: Mapping[str, str],
) -> list[Found]:
    free: queue.SimpleQueue[Lane] = queue.SimpleQueue()
    for each in lanes:
        free.put(each)
    speaking = threading.Lock()

    def one(patch: Patch) -> Found:
        mine = free.get()
        try:
            texts = changed[patch.name]
            is_of_tables = any("/migrations/" in path for path in texts)
            with mine.planted(texts):
                found = Found(
                    patch,
                    mine.run(patch.tests, *ALONE, templates={} if is_of_tables else templates),
                )
        finally:
            free.put(mine)
        with speaking:
            _say(f"| {patch.name} | {patch.layer} | {patch.what} | {found.said} |")
            if not found.ran.is_caught:
                _say(found.ran.said)
        return found

    pool = ThreadPoolExecutor(len(lanes))
    try:
        return list(pool.map(one, chosen))
    finally:  # when we are told to stop too, and then at once
        pool.shutdown(wait=False, cancel_futures=True)
        for each in lanes:
            each.stop()
        pool.shutdown()


def _say(text: str) -> None:
    sys.stdout.write(f"{text}\n")
    sys.stdout.flush()


if __name__ == "__main__":
    start.heed_signals()
    try:
        sys.exit(main(sys.argv[1:]))
    except start.Stop:
        sys.exit(130)
