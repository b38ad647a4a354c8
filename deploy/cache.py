"""Django's Redis cache, failing open: Redis down or slow is a log line and a miss, never a 500.

A throttle built on it lets requests pass while Redis is away. That is the choice of the design: a
reading must not be lost because a counter could not be kept. What guards signing in (allauth's
limits, and its one-time codes that were used) has to hold all the same, and is kept in a table
meanwhile.
"""

import logging
import time
from collections.abc import Callable, Iterable, Mapping
from typing import Any, TypeVar

from django.core.cache import caches
from django.core.cache.backends.base import DEFAULT_TIMEOUT, BaseCache
from django.core.cache.backends.redis import RedisCache
from redis.exceptions import RedisError

logger = logging.getLogger(__name__)
T = TypeVar("T")

TABLE, GUARDED = "table", "allauth"  # the cache in a table, and how its keys begin
PAUSE = 2.0  # seconds without asking after a failure, so that a dead Redis does not slow each page


class _Pause:
    """Until when this process does not ask."""

    until = 0.0


def _kept(key: Any, do: Callable[[BaseCache], T], otherwise: T) -> Callable[[], T]:
    """Return what to do for a key while Redis is away: ask the table for a guarded one, or miss."""
    guarded = str(key).startswith(GUARDED)
    return (lambda: do(caches[TABLE])) if guarded else (lambda: otherwise)


class FailOpenRedisCache(RedisCache):
    """A cache whose failures are misses, but for guarded keys."""

    def _open(self, do: Callable[[], T], away: Callable[[], T]) -> T:
        if time.monotonic() < _Pause.until:
            return away()
        try:
            return do()
        except (RedisError, OSError) as error:
            _Pause.until = time.monotonic() + PAUSE
            logger.warning("cache unreachable, going on without: %s", type(error).__name__)
        return away()

    def add(
        self, key: Any, value: Any, timeout: Any = DEFAULT_TIMEOUT, version: Any = None
    ) -> bool:
        """Store if absent. Yes when Redis is away: a lock built on it must not be waited for."""
        asked = super().add
        away = _kept(key, lambda table: table.add(key, value, timeout, version), True)
        return self._open(lambda: bool(asked(key, value, timeout, version)), away)

    def get(self, key: Any, default: Any = None, version: Any = None) -> Any:
        """Return the value, or the default."""
        asked = super().get
        away = _kept(key, lambda table: table.get(key, default, version), default)
        return self._open(lambda: asked(key, default, version), away)

    def set(
        self, key: Any, value: Any, timeout: Any = DEFAULT_TIMEOUT, version: Any = None
    ) -> None:
        """Store."""
        asked = super().set
        away = _kept(key, lambda table: table.set(key, value, timeout, version), None)
        self._open(lambda: asked(key, value, timeout, version), away)

    def touch(self, key: Any, timeout: Any = DEFAULT_TIMEOUT, version: Any = None) -> bool:
        """Set a new timeout; no when Redis is away."""
        asked = super().touch
        return self._open(lambda: bool(asked(key, timeout, version)), lambda: False)

    def delete(self, key: Any, version: Any = None) -> bool:
        """Remove; no when Redis is away."""
        asked = super().delete
        away = _kept(key, lambda table: table.delete(key, version), False)
        return self._open(lambda: bool(asked(key, version)), away)

    def get_many(self, keys: Iterable[Any], version: Any = None) -> dict[Any, Any]:
        """Return what is there."""
        asked = super().get_many
        return self._open(lambda: dict(asked(keys, version)), dict)

    def has_key(self, key: Any, version: Any = None) -> bool:
        """Say whether it is there."""
        asked = super().has_key
        return self._open(lambda: bool(asked(key, version)), lambda: False)

    def incr(self, key: Any, delta: int = 1, version: Any = None) -> int:
        """Count up; the step itself when Redis is away. An absent key is a ValueError, as ever."""
        asked = super().incr
        return self._open(lambda: int(asked(key, delta, version)), lambda: delta)

    def set_many(
        self, data: Mapping[Any, Any], timeout: Any = DEFAULT_TIMEOUT, version: Any = None
    ) -> list[Any]:
        """Store several; return the keys that were not."""
        asked = super().set_many
        return self._open(lambda: list(asked(dict(data), timeout, version)), lambda: list(data))

    def delete_many(self, keys: Iterable[Any], version: Any = None) -> None:
        """Remove several."""
        asked = super().delete_many
        self._open(lambda: asked(keys, version), lambda: None)

    def clear(self) -> None:
        """Remove everything."""
        self._open(super().clear, lambda: None)
