"""The board of many horses: its first page, its statements, and a look that finds nothing changed.

They stand in the other organisation, so that the board of few is one of few.
"""

from collections.abc import Iterator
from datetime import UTC, datetime
from typing import Any

from django.conf import settings
from django.db import connection, transaction
from django.test import Client

from tests import cast, factories
from tests.bench import arms, measure
from tests.bench.stage import YARD, Stage
from tests.bench.wire import Wire
from tests.conftest import _owner, viewer_of
from tests.queries import board_herds
from yards import isolation
from yards.models import User

YARDS = 20
ALL = "SELECT id, name FROM yards_horse WHERE status = 'present' ORDER BY name_key, id"


def comparisons(
    application: Any, stage: Stage, database: str, horses: int, rounds: int
) -> Iterator[measure.Comparison]:
    """Make the horses, and compare."""
    cookie = _build(database, horses)
    many, few = Wire(application, cookie=cookie), Wire(application, cookie=stage.cookie)
    viewer = viewer_of("perran")
    sent = arms._sent_by(lambda: many.ask("GET", "/"))
    tag = _tag(cookie)
    looking = Wire(application, cookie=cookie)
    looking.headers["HTTP_IF_NONE_MATCH"] = tag

    def page() -> None:
        many.ask("GET", "/")

    def small() -> None:
        few.ask("GET", f"/?yard={cast.ref(YARD)}")

    def replayed() -> None:
        with transaction.atomic(), connection.cursor() as cursor:
            for sql, params in sent:
                cursor.execute(sql, params)
                cursor.fetchall()

    def names() -> None:
        with isolation.of(viewer), connection.cursor() as cursor:
            cursor.execute(ALL)
            cursor.fetchall()

    def look() -> None:
        looking.ask("GET", "/", expect=304)

    name = f"first page of {horses} horses"
    yield measure.compare(name, page, f"board of {len(stage.refs)} horses", small, rounds=rounds)
    yield measure.compare(
        f"statements of the {name}", replayed, "SELECT id, name of all", names, rounds=rounds
    )
    yield measure.compare(f"{name}, not changed", look, "the page", page, rounds=rounds)


def _build(database: str, horses: int) -> str:
    """Make the horses as bulk; return their coordinator's cookie."""
    viewer, now = viewer_of("perran"), datetime.now(UTC)
    with isolation.of(viewer):
        made: Any = factories
        for _ in range(YARDS):
            made.YardFactory(organisation_id=viewer.organisation, **cast.VET)
        board_herds.herd(viewer, horses, now, each=2)
    with _owner(database) as owner:
        for table in ("yards_horse", "scoring_standing", "scoring_alert", "scoring_assessment"):
            owner.execute(f"VACUUM ANALYZE {table}")
    client = _signed_in()
    client.get("/")
    name = settings.SESSION_COOKIE_NAME
    return f"{name}={client.cookies[name].value}"


def _signed_in() -> Client:
    client = Client(SERVER_NAME="localhost")
    client.force_login(User.objects.get(id=cast.ref("perran")))
    return client


def _tag(cookie: str) -> str:
    client = Client(SERVER_NAME="localhost")
    client.cookies[settings.SESSION_COOKIE_NAME] = cookie.partition("=")[2]
    return str(client.get("/")["ETag"])
