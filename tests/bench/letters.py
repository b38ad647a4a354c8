"""How long from the commit of an alarming reading until a mail server takes its message.

Real web process's code, broker, worker, beat and SMTP. Absolute times of this machine, at this
moment: for information, never a limit.
"""

import time
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from django.conf import settings

from deploy.launch import house
from scoring.actions import notices
from tests import mailbox
from tests.bench.stage import Stage, reading
from tests.bench.wire import Wire
from tests.conftest import environment_of

LONGEST = 60.0


def seconds(application: Any, stage: Stage, *, letters: int, database: str) -> list[float]:
    """Return, for each of so many readings, the seconds until its first message was taken."""
    wire, found = Wire(application, key="tobias"), []
    folder = Path(settings.DATA) / "bench"
    for part in ("run", "log"):
        (folder / part).mkdir(parents=True, exist_ok=True)
    with mailbox.opened() as box:
        environ = {
            **environment_of(database),
            "EMAIL_URL": f"smtp://127.0.0.1:{settings.EMAIL_PORT}",
            "HALFPOINT_DATA": str(folder),
        }
        with house.serving(environ, folder) as served:
            served.wait()
            for number in range(letters):
                found.append(_one(wire, box, stage.refs[number % len(stage.refs)]))
    return found


def _one(wire: Wire, box: mailbox.Mailbox, horse: str) -> float:
    committed: list[float] = []
    taken: list[float] = []

    def arrived(_message: Any) -> str:
        taken.append(time.perf_counter())
        return mailbox.TAKEN

    def commit() -> None:
        committed.append(time.perf_counter())

    box.answer = arrived
    notices.wakers.insert(0, commit)
    try:
        alarming = {**reading(horse, datetime.now(UTC)), "danger_signs": ["not_eating"]}
        wire.post("/api/v1/assessments/", alarming)
    finally:
        notices.wakers.remove(commit)
    until = time.monotonic() + LONGEST
    while not taken:
        if time.monotonic() > until:
            raise RuntimeError("no message came")
        time.sleep(0.005)
    time.sleep(1.5)  # the other recipients' messages, and a tick of beat, are not the next one's
    return taken[0] - committed[0]
