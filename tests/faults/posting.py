"""Posts readings as phones do: over HTTP, each under an id of its own, again until it is answered.

Some ask for an urgent alert, since that is told at any hour. What comes of an attempt is ``ok``
(answered as recorded), ``fail`` (refused) or ``unknown``: no answer, or one that says that
something broke. Most unknown ones are sent again with the same content, some never.
"""

import http.client
import json
import random
import time
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from datetime import UTC, datetime
from threading import Event, Lock, Thread
from typing import Any

import uuid_utils.compat as uuid_utils

from tests import cast
from tests.faults.ground import Horse
from tests.faults.history import FAIL, OK, UNKNOWN, History

PATIENCE_S = 20.0
AGAIN_S = 0.4
PAUSE_S = 0.5  # of one hand between two horses, on average
ALARMING = {"neck_and_shoulder": "0.5", "back_and_ribs": "1", "hindquarters": "0.5"}
SOUND = {"neck_and_shoulder": "3", "back_and_ribs": "3", "hindquarters": "3"}


@dataclass
class Reading:
    """One reading that was sent, and what is known of it."""

    ref: str
    horse: Horse
    body: bytes
    alarms: bool = True
    outcome: str = UNKNOWN
    alerts: int = 0
    sent_at: float = 0.0
    told_at: float = 0.0
    attempts: int = 0
    refused: list[int] = field(default_factory=list)


class Poster:
    """Some hands that go through the herd until they are asked to stop.

    One horse in ``every`` is read as one that is dangerously thin, the others as sound.
    """

    def __init__(
        self, port: int, horses: Sequence[Horse], history: History, *, seed: int, hands: int = 2
    ) -> None:
        self.readings: list[Reading] = []
        self.every = 1
        self._port = port
        self._history = history
        self._horses: Iterator[tuple[int, Horse]] = enumerate(horses)
        self._lock = Lock()
        self._stop, self._calm = Event(), Event()
        self._hands = [
            Thread(target=self._walk, args=[random.Random(f"{seed}/{number}")], daemon=True)
            for number in range(hands)
        ]

    def start(self) -> None:
        """Begin."""
        for hand in self._hands:
            hand.start()

    def stop(self, seconds: float = 90) -> None:
        """Take no new reading, and wait until those under way are answered or given up."""
        self._calm.set()
        until = time.monotonic() + seconds
        for hand in self._hands:
            hand.join(max(0.0, until - time.monotonic()))
        self._stop.set()

    def acknowledged(self) -> list[Reading]:
        """Return what was answered as recorded."""
        return [reading for reading in list(self.readings) if reading.outcome == OK]

    def _walk(self, rng: random.Random) -> None:
        while not self._calm.is_set():
            with self._lock:
                number, horse = next(self._horses, (0, None))
            if horse is None:
                return
            self._one(horse, rng, alarms=number % self.every == 0)
            self._calm.wait(rng.expovariate(1 / PAUSE_S))

    def _one(self, horse: Horse, rng: random.Random, *, alarms: bool) -> None:
        ref = str(uuid_utils.uuid7())
        body = {
            "id": ref,
            "horse": str(horse.ref),
            "taken_at": datetime.now(UTC).isoformat(),
            "scale": "five",
            "manner": "palpated",
            "regions": ALARMING if alarms else SOUND,
        }
        reading = Reading(ref, horse, json.dumps(body).encode(), alarms, sent_at=time.time())
        self.readings.append(reading)
        # As many phones do at the edge of a network: the same again before the first is answered.
        if rng.random() < 0.15:
            beside = [Thread(target=self._attempt, args=[reading], daemon=True) for _ in range(3)]
            for each in beside:
                each.start()
            for each in beside:
                each.join()
        else:
            self._attempt(reading)
        gives_up = rng.random() < 0.1
        while reading.outcome == UNKNOWN and not gives_up and not self._stop.is_set():
            time.sleep(AGAIN_S)
            self._attempt(reading)

    def _attempt(self, reading: Reading) -> None:
        self._history.add("sent", id=reading.ref, horse=reading.horse.name)
        outcome, status, alerts = self._sent(reading.body)
        at = self._history.add(outcome, id=reading.ref, status=status, alerts=alerts)
        with self._lock:
            reading.attempts += 1
            if outcome == FAIL:
                reading.refused.append(status)
            if reading.outcome != OK:
                reading.outcome = outcome
                reading.alerts, reading.told_at = alerts, at

    def _sent(self, body: bytes) -> tuple[str, int, int]:
        line = http.client.HTTPConnection("127.0.0.1", self._port, timeout=PATIENCE_S)
        head = {
            "Authorization": f"Token {cast.token('maud')}",
            "Content-Type": "application/json",
        }
        try:
            line.request("POST", "/api/v1/assessments/", body, head)
            answer = line.getresponse()
            status, said = answer.status, answer.read()
            if status in (200, 201):
                told: Any = json.loads(said)
                return OK, status, len(told["alerts"])
            return (UNKNOWN if status >= 500 or status == 429 else FAIL), status, 0
        except (OSError, http.client.HTTPException, ValueError):
            return UNKNOWN, 0, 0
        finally:
            line.close()
