"""Reads the signs of life, by the database's own clock."""

import json

from django.db import connection

from yards.rules import silence


def pulses() -> dict[str, silence.Pulse]:
    """Return how long ago each part was seen."""
    with connection.cursor() as cursor:
        cursor.execute(
            "SELECT name, extract(epoch FROM clock_timestamp() - at)::float, said::text"
            " FROM yards_pulse"
        )
        return {name: silence.Pulse(age, json_of(said)) for name, age, said in cursor.fetchall()}


def json_of(text: str) -> dict[str, float]:
    """Return a pulse's words."""
    read: dict[str, float] = json.loads(text)
    return read


def troubles() -> tuple[silence.Trouble, ...]:
    """Return what is wrong now."""
    return silence.troubles(pulses())
