"""Logs as one JSON object a line, with the request's id. No personal data goes into a log call."""

import json
import logging
from datetime import UTC, datetime

from deploy import requests

_OWN = {"method", "route", "status", "ms", "task"}


class JsonLines(logging.Formatter):
    """Format a record as one line of JSON."""

    def format(self, record: logging.LogRecord) -> str:
        """Return the line; an exception is its text in one field."""
        line: dict[str, object] = {
            "at": datetime.fromtimestamp(record.created, UTC).isoformat(timespec="milliseconds"),
            "level": record.levelname.lower(),
            "logger": record.name,
            "message": record.getMessage(),
        }
        if name := requests.current.get():
            line["request_id"] = name
        for key in sorted(_OWN & record.__dict__.keys()):
            line[key] = record.__dict__[key]
        if record.exc_info:
            line["exception"] = self.formatException(record.exc_info)
        return json.dumps(line, ensure_ascii=False, default=str)
