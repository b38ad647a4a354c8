"""What became of a run: what was acknowledged against what is there and what was received.

The judge asks the database from above and the mail server at the other end, never the service.
"""

import http.client
import json
from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping, Sequence
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
LAST_RUNG = "Call the vet"  # how the subject begins from the second rung on
UNDISTURBED, SEVERAL = "", "several faults"


@dataclass
class Verdict:
    """What was found. Everything in ``BAD`` must be nothing."""

    attempted: int = 0
    acknowledged: int = 0
    alarming: int = 0
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
    messages_from_nowhere: int = 0
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
    "messages_from_nowhere",
    "duplicates_after_dedupe",
    "leaked_rows",
    "stalls",
)


@dataclass(frozen=True)
class Window:
    """From one fault until all that was due then had gone again."""

    name: str
    began: float
    over: float


@dataclass(frozen=True)
class Received:
    """What the mail server holds: when the coordinator first heard of each horse, of which that
    nobody had answered, and under which keys anybody heard of a horse first and later."""

    told: Mapping[str, float]
    called: frozenset[str]
    first: Mapping[tuple[str, str], frozenset[str]]
    later: Mapping[tuple[str, str], frozenset[str]]
    keys: Mapping[str, int]

    @property
    def again(self) -> int:
        """How many messages came under a key under which they had come before."""
        return sum(count - 1 for count in self.keys.values())

    def doubled(self, tellings: Mapping[str, int]) -> int:
        """Return how many messages came too many, each key counted once: of a horse that is read
        once the first comes once to a person, and the later ones once for each further telling."""
        too_many = [len(keys) - 1 for keys in self.first.values()]
        for (_to, horse), keys in self.later.items():
            too_many.append(len(keys) - max(0, tellings.get(horse, 0) - 1))
        return sum(max(0, number) for number in too_many)


def judged(
    above: psycopg.Connection[Any],
    readings: Sequence[Reading],
    messages: Sequence[Message],
    windows: Sequence[Window],
) -> Verdict:
    """Compare."""
    there = Counter(
        ref for (ref,) in above.execute("SELECT ref::text FROM scoring_assessment").fetchall()
    )
    tellings = dict(
        above.execute(
            "SELECT h.name, max(l.tellings) FROM scoring_alert l"
            " JOIN yards_horse h ON h.id = l.horse_id GROUP BY h.name"
        ).fetchall()
    )
    acked = [reading for reading in readings if reading.outcome == OK]
    failed = sum(reading.outcome == FAIL for reading in readings)
    got = received(messages)
    kept = [reading for reading in readings if there[reading.ref]]
    alarming = [reading for reading in kept if reading.alarms]
    return Verdict(
        attempted=len(readings),
        acknowledged=len(acked),
        alarming=sum(reading.alarms for reading in acked),
        failed=failed,
        unknown=len(readings) - len(acked) - failed,
        recovered=sum(reading.outcome != OK for reading in kept),
        readings_lost=sum(not there[reading.ref] for reading in acked),
        readings_doubled=sum(count > 1 for count in there.values()),
        readings_from_nowhere=len(there.keys() - {reading.ref for reading in readings}),
        alerts_lost=sum(reading.horse.name not in tellings for reading in alarming)
        + sum(not reading.alerts for reading in acked if reading.alarms),
        notices_undelivered=_undelivered(above),
        untold=sum(reading.horse.name not in got.told for reading in alarming),
        escalations_missing=sum(reading.horse.name not in got.called for reading in alarming),
        messages_from_nowhere=len(got.keys.keys() - _written(above)),
        duplicates_after_dedupe=got.doubled(tellings),
        sent_again_under_one_key=got.again,
        messages=len(messages),
        **_delays(above, got.told, windows),
    )


def received(messages: Iterable[Message]) -> Received:
    """Sort what was received by person and horse. A message may name several horses."""
    told: dict[str, float] = {}
    called: set[str] = set()
    first: dict[tuple[str, str], set[str]] = defaultdict(set)
    later: dict[tuple[str, str], set[str]] = defaultdict(set)
    for message in messages:
        is_later = message.subject.startswith(LAST_RUNG)
        for name in message.horses:
            (later if is_later else first)[message.to, name].add(message.key)
            if TOLD in message.to and is_later:
                called.add(name)
            elif TOLD in message.to:
                told.setdefault(name, message.at)
    return Received(
        told,
        frozenset(called),
        {who: frozenset(keys) for who, keys in first.items()},
        {who: frozenset(keys) for who, keys in later.items()},
        Counter(message.key for message in messages),
    )


def _written(above: psycopg.Connection[Any]) -> set[str]:
    """Return the keys under which the outbox holds messages."""
    return {key for (key,) in above.execute("SELECT message_id FROM scoring_notice").fetchall()}


def _undelivered(above: psycopg.Connection[Any]) -> int:
    """Return how many messages about alerts wait still, or were given up."""
    found = above.execute(
        "SELECT count(*) FROM scoring_notice WHERE kind IN ('alert', 'escalation')"
        " AND state <> 'sent'"
    ).fetchone()
    return int((found or [0])[0])


def _delays(
    above: psycopg.Connection[Any], told: Mapping[str, float], windows: Sequence[Window]
) -> dict[str, Any]:
    """Return seconds from the commit of an alert until the coordinator's message was taken, by what
    disturbed it on the way. The server tells when a transaction was committed; the sighting is a
    row of the one that opened the alert, and is never changed."""
    committed = above.execute(
        "SELECT h.name, extract(epoch FROM min(pg_xact_commit_timestamp(s.xmin)))::float"
        " FROM scoring_alertsighting s JOIN scoring_alert l ON l.id = s.alert_id"
        " JOIN yards_horse h ON h.id = l.horse_id GROUP BY h.name"
    ).fetchall()
    found: dict[str, list[float]] = defaultdict(list)
    for name, at in committed:
        if name in told:
            found[disturbed_by(at, told[name], windows)].append(round(told[name] - at, 3))
    late = sum(delay > LATE_S for delays in found.values() for delay in delays)
    return {"delays": dict(found), "late": late}


def disturbed_by(at: float, until: float, windows: Sequence[Window]) -> str:
    """Return the one fault that met a message on its way, UNDISTURBED or SEVERAL."""
    met = [each.name for each in windows if each.began <= until and at <= each.over]
    return met[0] if len(met) == 1 else SEVERAL if met else UNDISTURBED


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
