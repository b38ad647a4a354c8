"""What became of a run: what was acknowledged against what is there and what was received.

The judge asks the database from above and the mail server at the other end, never the service.
"""

import http.client
import json
import re
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import asdict, dataclass, field
from typing import Any

import psycopg

from tests import cast
from tests.faults.history import FAIL, OK
from tests.faults.posting import Reading
from tests.faults.receiver import Message
from tests.faults.site import Site

LATE_S = 60.0
TOLD = "isolde@"  # the coordinator, who is told of every alert
LAST_RUNG = "Call the vet"
_NAME = re.compile(r"Fault [0-9]{6}")


@dataclass
class Verdict:
    """What was found. Everything in ``BAD`` must be nothing."""

    attempted: int = 0
    acknowledged: int = 0
    failed: int = 0
    unknown: int = 0
    recovered: int = 0
    readings_lost: int = 0
    readings_doubled: int = 0
    readings_from_nowhere: int = 0
    alerts_lost: int = 0
    notices_undelivered: int = 0
    untold: int = 0
    escalations_missing: int = 0
    duplicates_after_dedupe: int = 0
    sent_again_under_one_key: int = 0
    late: int = 0
    leaked_rows: int = 0
    stalls: int = 0
    ended_by_itself: int = 0
    messages: int = 0
    delays: dict[str, list[float]] = field(default_factory=dict)

    def bad(self) -> dict[str, int]:
        """Return what must not be and is."""
        return {name: count for name in BAD if (count := getattr(self, name))}

    def counts(self) -> dict[str, int]:
        """Return all counts."""
        return {name: value for name, value in asdict(self).items() if isinstance(value, int)}


BAD = (
    "failed",
    "readings_lost",
    "readings_doubled",
    "readings_from_nowhere",
    "alerts_lost",
    "notices_undelivered",
    "untold",
    "escalations_missing",
    "duplicates_after_dedupe",
    "leaked_rows",
    "stalls",
)


@dataclass(frozen=True)
class Window:
    """The time after one fault, until the next."""

    name: str
    began: float


def judged(
    above: psycopg.Connection[Any],
    readings: Sequence[Reading],
    messages: Sequence[Message],
    windows: Sequence[Window],
) -> Verdict:
    """Compare."""
    there: dict[str, int] = defaultdict(int)
    for (ref,) in above.execute("SELECT ref::text FROM scoring_assessment"):
        there[ref] += 1
    alarmed = {
        ref
        for (ref,) in above.execute(
            "SELECT a.ref::text FROM scoring_assessment a WHERE EXISTS"
            " (SELECT FROM scoring_alert l WHERE l.horse_id = a.horse_id)"
        )
    }
    acked = [reading for reading in readings if reading.outcome == OK]
    told, called, doubled, again = _received(messages)
    kept = [reading for reading in readings if there[reading.ref]]
    return Verdict(
        attempted=len(readings),
        acknowledged=len(acked),
        failed=sum(reading.outcome == FAIL for reading in readings),
        unknown=len(readings) - len(acked) - sum(each.outcome == FAIL for each in readings),
        recovered=sum(reading.outcome != OK for reading in kept),
        readings_lost=sum(not there[reading.ref] for reading in acked),
        readings_doubled=sum(count > 1 for count in there.values()),
        readings_from_nowhere=len(there.keys() - {reading.ref for reading in readings}),
        alerts_lost=sum(reading.ref not in alarmed for reading in kept)
        + sum(not reading.alerts for reading in acked),
        notices_undelivered=_undelivered(above),
        untold=sum(reading.horse.name not in told for reading in kept),
        escalations_missing=sum(reading.horse.name not in called for reading in kept),
        duplicates_after_dedupe=doubled,
        sent_again_under_one_key=again,
        messages=len(messages),
        **_delays(above, told, windows),
    )


def _received(messages: Iterable[Message]) -> tuple[dict[str, float], set[str], int, int]:
    """Return when the coordinator first heard of each horse, of which that nobody had answered;
    how many messages came under a second key; how many more under one they had come under."""
    told: dict[str, float] = {}
    called: set[str] = set()
    keys: dict[tuple[str, str], set[str]] = defaultdict(set)
    seen: dict[str, int] = defaultdict(int)
    for message in messages:
        names = _NAME.findall(message.subject)
        keys[message.to, message.subject].add(message.key)
        seen[message.key] += 1
        for name in names if TOLD in message.to else ():
            if message.subject.startswith(LAST_RUNG):
                called.add(name)
            else:
                told.setdefault(name, message.at)
    doubled = sum(len(each) - 1 for each in keys.values())
    return told, called, doubled, sum(count - 1 for count in seen.values())


def _undelivered(above: psycopg.Connection[Any]) -> int:
    """Return how many messages about alerts wait still, or were given up."""
    found = above.execute(
        "SELECT count(*) FROM scoring_notice WHERE kind IN ('alert', 'escalation')"
        " AND state <> 'sent'"
    ).fetchone()
    return int((found or [0])[0])


def _delays(
    above: psycopg.Connection[Any], told: dict[str, float], windows: Sequence[Window]
) -> dict[str, Any]:
    """Return seconds from the commit of an alert until the coordinator's message was taken, by the
    fault after which the alert was committed."""
    committed = above.execute(
        "SELECT h.name, extract(epoch FROM min(n.created_at))::float FROM scoring_notice n"
        " JOIN scoring_alert l ON l.id = n.alert_id JOIN yards_horse h ON h.id = l.horse_id"
        " WHERE n.kind = 'alert' GROUP BY h.name"
    ).fetchall()
    found: dict[str, list[float]] = defaultdict(list)
    late = 0
    for name, at in committed:
        if name in told:
            window = [each for each in windows if each.began <= at]
            delay = told[name] - at
            found[window[-1].name if window else ""].append(round(delay, 3))
            late += delay > LATE_S
    return {"delays": dict(found), "late": late}


def leaks(site: Site, owner: psycopg.Connection[Any]) -> int:
    """Return how many rows can be seen that must not be: by the web's processes and by the owner
    with no organisation open, and of one organisation by another's coordinator."""
    seen: int = sum(int(_asked(site, "/faults/unopened")["seen"]) for _ in range(24))
    for table in ("yards_horse", "scoring_assessment", "scoring_notice", "yards_entry"):
        found = owner.execute(f"SELECT count(*) FROM {table}").fetchone()  # noqa: S608
        seen += int((found or [0])[0])
    others: list[dict[str, str]] = _asked(site, "/api/v1/horses/", key="perran")["results"]
    return seen + sum(each["name"].startswith("Fault ") for each in others)


def _asked(site: Site, path: str, key: str = "") -> Any:
    line = http.client.HTTPConnection("127.0.0.1", site.port, timeout=20)
    try:
        head = {"Authorization": f"Token {cast.token(key)}"} if key else {}
        line.request("GET", path, headers=head)
        return json.loads(line.getresponse().read())
    finally:
        line.close()
