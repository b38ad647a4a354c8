"""What the comparisons need: one yard of horses, each read twice, and the bare tables beside."""

import uuid
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import Any

from django.conf import settings
from django.test import Client

from scoring.actions import assessments, standing
from tests import cast, factories
from tests.bench import bare
from tests.conftest import _owner, viewer_of
from yards import isolation
from yards.models import Horse, User

YARD = "Bench Yard"


@dataclass(frozen=True)
class Stage:
    """The horses' ids outside and inside, and a coordinator's cookie."""

    refs: tuple[str, ...]
    keys: tuple[int, ...]
    cookie: str


def reading(horse: str, at: datetime) -> dict[str, Any]:
    """Return a plain assessment, as a phone sends it: an id of its own, nothing amiss."""
    return {
        "id": str(uuid.uuid4()),
        "horse": horse,
        "taken_at": at.isoformat(),
        "scale": "five",
        "manner": "palpated",
        "regions": {"neck_and_shoulder": "2.5", "back_and_ribs": "3.0", "hindquarters": "2.5"},
        "findings": {},
        "danger_signs": [],
        "note": "",
    }


def build(database: str, horses: int) -> Stage:
    """Make it in the database that Django is connected to."""
    viewer, now = viewer_of("tobias"), datetime.now(UTC)
    refs, keys = [], []
    with isolation.of(viewer):
        factory: Any = factories
        yard = factory.YardFactory(
            organisation_id=viewer.organisation, ref=cast.ref(YARD), name=YARD, **cast.VET
        )
        for number in range(horses):
            horse: Horse = factory.HorseFactory(
                organisation_id=viewer.organisation, yard=yard, name=f"Bench {number:03}"
            )
            standing.make(viewer, horse, now)
            refs.append(str(horse.ref))
            keys.append(horse.pk)
        for days in (30, 15):
            for ref in refs:
                raw = reading(ref, now - timedelta(days=days))
                assessments.record_assessment(viewer, raw, now=now)
    _bare_tables(database, keys)
    client = Client(SERVER_NAME="localhost")
    client.force_login(User.objects.get(id=cast.ref("isolde")))
    client.get("/")
    name = settings.SESSION_COOKIE_NAME
    return Stage(tuple(refs), tuple(keys), f"{name}={client.cookies[name].value}")


def clear(database: str) -> None:
    """Remove the bare tables: the gate lets nothing serve on a database with tables in no class."""
    with _owner(database) as owner:
        owner.execute(f"DROP TABLE {bare.COPIED}, {bare.TABLE}, {bare.HORSES}")


def _bare_tables(database: str, keys: list[int]) -> None:
    with _owner(database) as owner:
        for statement in bare.MADE:
            owner.execute(statement)
        for key in keys:
            owner.execute(f"INSERT INTO {bare.HORSES} VALUES (%s)", [key])  # noqa: S608
        for table in (bare.TABLE, bare.COPIED, bare.HORSES):
            owner.execute(f'GRANT SELECT, INSERT ON {table} TO "{settings.RUNTIME_ROLE}"')
