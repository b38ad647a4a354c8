"""No word of the other organisation is in any answer, mail, log line or cached thing of ours.

First both are at work, and one worker sends the mail of both; then every column of text that they
have is given a canary, and every address is asked by every role of ours.
"""

import logging
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from email.message import EmailMessage
from io import StringIO
from typing import Any
from urllib.parse import urlencode

import pytest
from django.conf import settings
from django.core.cache import caches
from django.db import connection

from deploy.logging import JsonLines
from scoring.actions import deliver, timers
from scoring.models import Fit
from tests import cast, factories, mailbox
from tests.api.asking import Answer, Asker
from tests.clients import Client
from tests.conftest import as_somebody
from tests.doors import canaries, knocking, matrix
from tests.doors.cells import OF_ONESELF, ROWS
from tests.doors.conftest import Stage
from tests.doors.matrix import Row
from tests.doors.pages_sight import HOUSE
from tests.doors.scene import Scene, ahead, assessment
from tests.doors.test_never_a_fault import read_by_name
from yards.actions import letters, restrictions
from yards.models import Entry

# One of ours a role; the phone has a token only.
ROLES = ("isolde", "tobias", "keziah", "hollis")
# Theirs, in what they do themselves: no column's, since columns are fewer.
THEIRS = f"{canaries.MARK}zz"
# Columns that a constraint holds to a closed list, or to nothing else than it has, so that no word
# can stand there: no more than these, and none that could.
SILENT = {
    "scoring_alert": "severity state",
    "scoring_alertact": "kind",
    "scoring_assessment": "appetite coat fat_pocket manner muscle scale",
    "scoring_assessor": "kind",
    "scoring_escalationpolicy": "severity",
    "scoring_instrument": "kind",
    "scoring_notice": "kind state",
    "scoring_photo": "of side",
    "scoring_questionend": "how",
    "scoring_timer": "kind",
    "scoring_weighing": "fed method tape_position tape_side",
    "yards_grant": "role",
    "yards_horse": "breeding endocrine laminitis sex species status use",
    "yards_invitation": "role",
    "yards_organisation": "overall_rule",
    "yards_user": "height_unit length_unit weight_unit",
    "yards_yard": "hemisphere",
}
# What an address calls the words that are looked for.
SOUGHT = {"q", "search", "name", "verb", "target"}


@pytest.fixture
def lines() -> Iterator[StringIO]:
    """What is logged meanwhile, as the server writes it."""
    written = StringIO()
    handler = logging.StreamHandler(written)
    handler.setFormatter(JsonLines())
    logging.getLogger().addHandler(handler)
    yield written
    logging.getLogger().removeHandler(handler)


@pytest.mark.long
def test_a_word_of_theirs_is_in_nothing_of_ours(
    stage: Stage, own_cache: None, lines: StringIO, monkeypatch: pytest.MonkeyPatch
) -> None:
    with stage() as scene:
        _have_of_every_kind(scene)
        _work_as_they_do(scene)
        ours, theirs = _mail_of_a_day()
        assert [str(each["Subject"]) for each in ours if _sung(each)] == []
        assert any(_sung(each) for each in theirs), "what is theirs is told to them"
        assert len({str(each["To"]) for each in ours}) > 2

        cage = canaries.caged(str(connection.settings_dict["NAME"]))
        assert cage.empty == set(), "a table of which nothing is asked"
        closed = {f"{table}.{each}" for table, names in SILENT.items() for each in names.split()}
        assert cage.silent == closed
        known = Listener(scene, monkeypatch)
        known.ask_everything()
        assert known.faults == []
        assert known.heard == {}
        told = known.ask(_row("GET", "api_horses"), True, "perran")
        assert canaries.heard(told.content), "the canaries are there, and are heard"
    assert canaries.heard(lines.getvalue().encode()) == set()
    assert lines.getvalue().count("\n") > known.asked, "each request is a line"
    assert [key for key, value in _cached() if canaries.heard(key, value)] == []


def _row(method: str, name: str) -> Row:
    return next(each for each in matrix.API if (each.method, each.name) == (method, name))


def _have_of_every_kind(scene: Scene) -> None:
    """Add to the scene what it has nothing of yet."""
    for method, name, caller in (
        ("PATCH", "api_rule", "isolde"),
        ("PATCH", "api_policy", "isolde"),
        ("POST", "api_alert_comments", "isolde"),
        ("POST", "api_question_answer", "keziah"),
        ("POST", "api_vet_order_end", "keziah"),
        ("POST", "api_weighing_correct", "tobias"),
        ("POST", "api_assessment_correct", "tobias"),
        ("POST", "api_clinical_note_correct", "keziah"),
    ):
        answer = knocking.knock(_row(method, name), scene, caller)
        assert answer.status_code < 300, knocking.told(answer)
    measured = next(each for each in matrix.PAGES if str(each) == "POST scoring:measure")
    assert knocking.knock_on_page(measured, scene, "tobias").status_code == 303
    named = {"person": scene["maud"], "role": "auditor", "horses": [scene["Tansy"]]}
    assert Asker("isolde").post("grants/", named).status_code == 201
    now = datetime.now(UTC)
    with as_somebody("isolde") as viewer:
        sealed = {"people": HOUSE, "reason": "Seized"}
        restrictions.restrict(viewer, cast.ref("Tansy"), sealed, now=now)
        factories.erase_payload(viewer, Entry.objects.all()[0], person=cast.ref("expired"))
        Fit.objects.create(
            organisation_id=viewer.organisation, ref=cast.ref("fit"), made_at=now, content={}
        )


def _work_as_they_do(scene: Scene) -> None:
    """Let Perran Holt write a word of theirs wherever a program may, and be alarmed."""
    perran, gorse = Asker("perran"), scene["Gorse"]
    for path, change in (
        (f"horses/{gorse}/", {"name": f"Gorse {THEIRS}", "handling": THEIRS, "version": 1}),
        (f"yards/{cast.ref('Larchgill Yard')}/", {"name": f"Yard {THEIRS}", "version": 1}),
    ):
        answer = perran.patch(path, change)
        assert answer.status_code == 200, answer.content
    felt = assessment(
        gorse, danger_signs=["high_temperature"], note=THEIRS, limits=THEIRS, held_by=THEIRS
    )
    for path, body in (
        ("assessments/", felt),
        (f"horses/{gorse}/questions/", {"text": THEIRS}),
        (f"horses/{gorse}/concerns/", {"seen_at": felt["taken_at"], "note": THEIRS}),
        (f"alerts/{scene.theirs['danger_signs']}/comments/", {"text": THEIRS}),
        ("instruments/", {"kind": "weigh_tape", "label": THEIRS}),
        ("absences/", {"until": ahead(days=9), "reason": THEIRS, "from": ahead(days=3)}),
    ):
        answer = perran.post(path, body)
        assert answer.status_code == 201, (path, answer.content)
    for row in (each for each in matrix.PAGES if each.method == "GET" and not each.ids):
        if row.expected["perran"] == 200:
            assert knocking.knock_on_page(row, scene, "perran").status_code == 200, row
    # What the server refuses or cannot do is told and logged without it too.
    assert perran.post("assessments/", {**felt, "scale": THEIRS}).status_code == 422


def _mail_of_a_day() -> tuple[list[EmailMessage], list[EmailMessage]]:
    """Do all that falls due within a day, of both, and return the mail of ours and of theirs."""
    now = datetime.now(UTC)
    with mailbox.opened() as box:
        for hours in (0, 1, 8, 16, 24):
            at = now + timedelta(hours=hours)
            timers.run_due(now=at)
            deliver.deliver_due(now=at, limit=200)
        letters.deliver_due(now=now)
    theirs = [each for each in box.taken if "perran@" in str(each["To"])]
    return [each for each in box.taken if each not in theirs], theirs


def _sung(message: EmailMessage) -> set[str]:
    parts = [each for each in message.walk() if not each.is_multipart()]
    texts = [
        *(str(value) for value in message.values()),
        *(str(each.get_content()) for each in parts),
    ]
    return canaries.heard(*(each.encode() for each in texts))


def _cached() -> Iterator[tuple[bytes, bytes]]:
    held: Any = caches["default"]
    valkey = held._cache.get_client(None, write=False)
    for key in valkey.scan_iter():
        yield key, valkey.dump(key)


class Listener:
    """Asks, and keeps which canaries were heard where."""

    def __init__(self, scene: Scene, patch: pytest.MonkeyPatch) -> None:
        self.scene, self.patch = scene, patch
        self.asked = 0
        self.heard: dict[str, set[str]] = {}
        self.faults: list[str] = []

    def ask_everything(self) -> None:
        """Every address by every role that may, and by nobody; then for the canaries themselves."""
        rows = [each for each in ROWS if each[0].method == "GET"]
        read: dict[tuple[str, str], tuple[Row, bool]] = {}
        for row, is_api in rows:
            with read_by_name(self.patch) as names:
                self.ask(row, is_api, ROLES[0])
            for name in names:
                read.setdefault((name, str(row) if name in SOUGHT else ""), (row, is_api))
            others = [*ROLES[1:], *(["device"] if is_api else [])]
            if row.expected[None] in {401, 302} and not OF_ONESELF.match(row.name):
                for caller in (each for each in others if row.expected[each] < 400):
                    self.ask(row, is_api, caller)
                self.ask(row, is_api, None)
        assert SOUGHT & {name for name, _ in read}
        for (name, _), (row, is_api) in read.items():
            self.ask(row, is_api, ROLES[0], **{name: canaries.MARK})

    def ask(self, row: Row, is_api: bool, caller: str | None, **query: str) -> Answer:
        """Ask once."""
        client = Client(raise_request_exception=False)
        headers = {}
        if is_api and caller:
            headers = {"Authorization": f"Token {cast.token(caller)}"}
        elif caller:
            client.cookies[settings.SESSION_COOKIE_NAME] = self.scene.sessions[caller]
        path = knocking.path_of(row, self.scene)
        answer = client.get(f"{path}?{urlencode(query)}" if query else path, headers=headers)
        self.asked += 1
        said = f"{row} by {caller or 'nobody'} {query or ''}".strip()
        if answer.status_code >= 500 or answer.streaming:
            self.faults.append(said)
        if found := canaries.heard(b"".join(answer), answer.serialize_headers()):
            self.heard[said] = found
        return answer
