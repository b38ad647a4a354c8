"""What the driver did and saw, written outside the system and on the disk before it goes on."""

import json
import os
import time
from pathlib import Path
from threading import Lock
from typing import Any

OK, FAIL, UNKNOWN = "ok", "fail", "unknown"


class History:
    """One line of JSON an event, each flushed to the disk."""

    def __init__(self, path: Path) -> None:
        self._file = path.open("a", encoding="utf-8")
        self._lock = Lock()

    def add(self, event: str, **facts: Any) -> float:
        """Write one event and return its instant, in seconds since 1970."""
        at = time.time()
        line = json.dumps({"at": round(at, 4), "event": event, **facts})
        with self._lock:
            self._file.write(line + "\n")
            self._file.flush()
            os.fsync(self._file.fileno())
        return at

    def close(self) -> None:
        """Close the file."""
        self._file.close()
