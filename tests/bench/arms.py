"""What is compared with what: each function returns a comparison's arms, ready to be timed."""

import itertools
import json
from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta
from typing import Any
from uuid import uuid4

from django.core.serializers.json import DjangoJSONEncoder
from django.db import connection, transaction

from scoring.models import Assessment
from tests import cast
from tests.bench import bare
from tests.bench.measure import Arm
from tests.bench.stage import YARD, Stage, reading
from tests.bench.wire import Wire
from tests.conftest import viewer_of
from yards import isolation

Arms = tuple[Arm, Arm]
_ids: Iterator[int] = itertools.count()


def single_post(application: Any, stage: Stage, times: int) -> Arms:
    """So many readings, one request each; against as many bare rows by plain REST framework."""
    wire, plain = Wire(application, key="tobias"), Wire(application)
    horses = itertools.cycle(stage.refs)
    row = _bare_row(stage)

    def ours() -> None:
        for _ in range(times):
            wire.post("/api/v1/assessments/", reading(next(horses), datetime.now(UTC)))

    def floor() -> None:
        for _ in range(times):
            plain.post("/bare/", {**row, "ref": str(uuid4())})

    return ours, floor


def _bare_row(stage: Stage) -> dict[str, Any]:
    """Return a row that we keep, as JSON that the bare view takes."""
    with isolation.of(viewer_of("tobias")):
        kept = Assessment.objects.filter(horse_id=stage.keys[0])[0]
        columns = [each for each in Assessment._meta.concrete_fields if not each.generated]
        values = {each.name: getattr(kept, each.attname) for each in columns}
    del values["id"], values["content_digest"]
    made: dict[str, Any] = json.loads(json.dumps(values, cls=DjangoJSONEncoder))
    return made


def batch(application: Any, stage: Stage, size: int) -> Arms:
    """One batch through the application; against PostgreSQL's COPY of rows like those it wrote."""
    wire, horses = Wire(application, key="tobias"), itertools.cycle(stage.refs)

    def ours() -> None:
        now = datetime.now(UTC)
        later = [now + timedelta(milliseconds=each) for each in range(size)]
        body = {"items": [reading(next(horses), at) for at in later]}
        answer = wire.post("/api/v1/assessments/batch/", body, expect=200)
        if {each["status"] for each in answer["results"]} != {201}:
            raise RuntimeError("not every reading was taken")

    ours()
    names = ", ".join(
        f'"{each.column}"'
        for each in Assessment._meta.concrete_fields
        if not each.generated and each.name != "id"
    )
    newest = f"SELECT {names} FROM scoring_assessment ORDER BY id DESC LIMIT {size}"  # noqa: S608
    out, into = f"COPY ({newest}) TO STDOUT", f"COPY {bare.COPIED} ({names}) FROM STDIN"
    with (
        isolation.of(viewer_of("tobias")),
        connection.cursor() as cursor,
        cursor.copy(out) as rows,
    ):
        data = b"".join(bytes(piece) for piece in rows)

    def floor() -> None:
        with transaction.atomic(), connection.cursor() as cursor, cursor.copy(into) as copied:
            copied.write(data)

    return ours, floor


def board(application: Any, stage: Stage) -> tuple[Arm, Arm, Arm]:
    """The board's page; against the statements that it sends, and against one SELECT by hand."""
    wire = Wire(application, cookie=stage.cookie)
    url = f"/?yard={cast.ref(YARD)}"
    sent = _sent_by(lambda: wire.ask("GET", url))
    viewer = viewer_of("isolde")

    def ours() -> None:
        wire.ask("GET", url)

    def replayed() -> None:
        with transaction.atomic(), connection.cursor() as cursor:
            for sql, params in sent:
                cursor.execute(sql, params)
                cursor.fetchall()

    def by_hand() -> None:
        with isolation.of(viewer), connection.cursor() as cursor:
            cursor.execute(BOARD, [cast.ref(YARD)])
            if len(cursor.fetchall()) != len(stage.refs):
                raise RuntimeError("the board's SELECT found other horses")

    return ours, replayed, by_hand


BOARD = """
SELECT h.ref, h.name, h.species, h.use, s.level, s.level_low, s.level_high, s.rate_per_month,
       s.place, s.score_due_at, s.weight_due_at, a.scale, a.neck, a.back, a.hind, a.whole,
       a.fat_pocket, a.overall_sixths,
       (SELECT json_agg(json_build_array(e.ref, e.rule, e.severity, e.state))
        FROM scoring_alert e WHERE e.horse_id = h.id AND e.state <> 'resolved')
FROM scoring_standing s JOIN yards_horse h ON h.id = s.horse_id
JOIN yards_yard y ON y.id = s.yard_id
LEFT JOIN scoring_assessment a ON a.id = s.last_assessment_id
WHERE y.ref = %s AND h.status = 'present' ORDER BY h.name_key, h.id
"""


def _sent_by(ask: Callable[[], object]) -> list[tuple[str, Any]]:
    """Return the statements that a request reads with."""
    sent: list[tuple[str, Any]] = []

    def note(execute: Any, sql: str, params: Any, many: bool, context: Any) -> Any:
        if sql.lstrip().upper().startswith(("SELECT", "WITH")):
            sent.append((sql, params))
        return execute(sql, params, many, context)

    with connection.execute_wrapper(note):
        ask()
    return sent


def listed(application: Any, rows: int) -> Arms:
    """So many assessments, page after page; against PostgreSQL's own JSON of the same rows."""
    wire, viewer = Wire(application, key="isolde"), viewer_of("isolde")

    def ours() -> None:
        url, left = "/api/v1/assessments/", rows
        while left > 0:
            page = json.loads(wire.ask("GET", url))
            left -= len(page["results"])
            url = page["next"]

    def floor() -> None:
        with isolation.of(viewer), connection.cursor() as cursor:
            cursor.execute(
                "SELECT json_agg(a)::text FROM"
                " (SELECT * FROM scoring_assessment ORDER BY id DESC LIMIT %s) a",
                [rows],
            )
            json.loads(cursor.fetchone()[0])

    return ours, floor
