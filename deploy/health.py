"""Is it alive, and can it serve? For load balancers, watchers and the start script.

Asked for without a sign-in, so nothing is told but up or down.
"""

import time
from functools import cache as once

from django.conf import settings
from django.core.cache import cache
from django.db import DatabaseError, connection, connections
from django.db.migrations.executor import MigrationExecutor
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe
from redis import Redis
from redis.exceptions import RedisError

BEAT_KEY = "beat"


@require_safe
@never_cache
def live(_request: HttpRequest) -> HttpResponse:
    """200 as long as the process answers at all."""
    return HttpResponse("ok", content_type="text/plain")


@require_safe
@never_cache
def ready(_request: HttpRequest) -> JsonResponse:
    """200 when every request can be served, else 503, part by part.

    Redis away is told but is no reason to send people elsewhere: pages and the API go on without.
    """
    database = _database()
    migrated = database and _migrated()
    facts = {
        "ready": database and migrated,
        "database": database,
        "migrated": migrated,
        "redis": _redis(),
        "beat_age_s": _beat_age(),
    }
    return JsonResponse(facts, status=200 if facts["ready"] else 503)


def _database() -> bool:
    try:
        for name in connections:
            with connections[name].cursor() as cursor:
                cursor.execute("SELECT 1")
    except DatabaseError:
        return False
    return True


def _migrated() -> bool:
    try:
        return _applied()
    except (DatabaseError, _Waiting):
        return False


class _Waiting(Exception):
    """Migrations are waiting; raised so that only a yes is remembered."""


@once
def _applied() -> bool:
    executor = MigrationExecutor(connection)
    if executor.migration_plan(executor.loader.graph.leaf_nodes()):
        raise _Waiting
    return True


def _redis() -> bool:
    client = Redis.from_url(settings.REDIS_URL, socket_connect_timeout=1, socket_timeout=1)
    try:
        return bool(client.ping())
    except (RedisError, OSError):
        return False
    finally:
        client.close()


def _beat_age() -> float | None:
    """Return the seconds since a worker last took a tick of beat; None when none is known."""
    at = cache.get(BEAT_KEY)
    return None if at is None else round(max(0.0, time.time() - float(at)), 1)
