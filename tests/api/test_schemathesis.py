"""Whatever the document allows, and what it does not, sent by each role to the real application.

Made up by schemathesis from our own document, the same each time; against a database with a little
of everything in it. Half of the made-up ids give way to real ones, and half of the made-up bodies
to a good one with a made-up field or two, so that more is reached than the first check. No answer
may be a fault of ours, and each must be one that the document promises; what the document forbids
must be refused. Who may do what is the business of ``tests/doors``.
"""

import random
import re
import sys
from collections import Counter
from contextlib import suppress
from typing import Any

import hypothesis
import pytest
import schemathesis
from django.db import connections
from django.urls import get_resolver
from hypothesis import HealthCheck, Phase, given
from hypothesis import strategies as st
from schemathesis import Case, GenerationMode
from schemathesis.checks import not_a_server_error
from schemathesis.config import SchemathesisConfig
from schemathesis.core.failures import FailureGroup
from schemathesis.specs.openapi import checks

from tests import cast
from tests.doors import matrix, scene
from tests.doors.row import OF_THE_FAT

# One of each role, Maud's phone being the device, somebody of the other organisation, and nobody.
# What is made up is sent by each of them, since to make it up costs more than to send it; the
# coordinator comes last, who may change the most.
CALLERS = ("hollis", "device", "maud", "tobias", "keziah", "perran", None, "isolde")
INSIDE = frozenset({"maud", "tobias", "keziah", "isolde"})
SOME_ROLE = INSIDE | {"hollis", "device"}
EXAMPLES = {GenerationMode.POSITIVE: 12, GenerationMode.NEGATIVE: 5}
# The calls are dealt out, so that several workers ask at a time.
HANDS = 2
# What ends somebody's access comes last: after it all that they ask is only refused.
ENDS = "/revoke/"
LEAST = 10_000
CHECKS = [
    not_a_server_error,
    checks.status_code_conformance,
    checks.content_type_conformance,
    checks.response_headers_conformance,
    checks.response_schema_conformance,
    checks.negative_data_rejection,
]
STRICT = (checks.negative_data_rejection,)
CONFIG = {"generation": {"with-security-parameters": False}}
# What a field or a path's first part names in the scene.
KNOWN = {
    "horse": "Teasel",
    "horses": "Teasel",
    "yard": "Top Barn",
    "yards": "Top Barn",
    "into": "Tansy",
    "person": "maud",
    "instrument": "tape",
    "assessments": "assessment",
    "weighings": "weighing",
    "alerts": "danger_signs",
    "photos": "photo",
    "questions": "question",
    "clinical-notes": "note",
    "vet-orders": "order",
    "rule-exceptions": "exception",
    "absences": "absence",
    "rounds": "Top Barn",
    "of_id": "Teasel",
    "grants": "grant",
    "invitations": "invitation",
    "assessor": "maud",
}


@pytest.fixture
def document(database: str, monkeypatch: pytest.MonkeyPatch) -> Any:
    """Our document, as the real application serves it.

    As for Django's own client of tests, no call begins by trying whether the database is still
    there, which is a statement more; and the library is told that there is no Flask, which else it
    looks for at each call.
    """
    from deploy.wsgi import application

    for each in connections.all():
        monkeypatch.setitem(each.settings_dict, "CONN_HEALTH_CHECKS", False)
        each.close()  # asked when it connects
    monkeypatch.setitem(sys.modules, "flask", None)
    config = SchemathesisConfig.from_dict(CONFIG)
    return schemathesis.openapi.from_wsgi("/api/schema/", application, config=config)


def known(value: Any, there: scene.Scene, chance: random.Random, name: str = "") -> Any:
    """Return a body or a query with ids of the scene in place of half of those made up."""
    if isinstance(value, dict):
        return {each: known(inner, there, chance, each) for each, inner in value.items()}
    if isinstance(value, list):
        return [known(inner, there, chance, name) for inner in value]
    if name in KNOWN and isinstance(value, str) and chance.random() < 0.5:
        return there[KNOWN[name]]
    return value


def good_bodies(there: scene.Scene) -> dict[str, Any]:
    """Return for each call that takes a body one that is accepted."""
    resolver = get_resolver()
    return {
        f"{row.method} {_template(resolver, row)}": row.body(there)
        for row in matrix.API
        if row.body is not None
    }


def _template(resolver: Any, row: matrix.Row) -> str:
    path: str = resolver.reverse_dict[row.name][0][0][0]
    return "/" + re.sub(r"%\((\w+)\)s", r"{\1}", path)


class Caller:
    """Sends made-up requests as somebody, and keeps what was answered."""

    def __init__(self, key: str | None, there: scene.Scene) -> None:
        self.headers = {"Authorization": f"Token {cast.token(key)}"} if key else {}
        self.there, self.good = there, good_bodies(there)
        self.answered: Counter[int] = Counter()

    def ask(self, case: Case[Any], mode: GenerationMode, chance: random.Random) -> None:
        """Send one, bent towards what is there."""
        path = case.operation.path
        if "id" in case.path_parameters and chance.random() < 0.8:
            case.path_parameters["id"] = self.there[KNOWN[path.split("/")[3]]]
        if "rule" in case.path_parameters and chance.random() < 0.8:
            case.path_parameters["rule"] = OF_THE_FAT["rule"]
        if mode is GenerationMode.POSITIVE:
            case.body = self._bent(case, chance)
            case.query = known(case.query, self.there, chance)
        # A batch is answered 200, with the refusal of each item; an empty filter is none, and a
        # parameter that the document does not name is passed over. A file's bytes are no string to
        # the check, which takes every good photo for a bad one.
        asked = case.query or {}
        unnamed = set(asked) - {each.name for each in case.operation.query}
        let_off = path.endswith("/batch/") or "" in asked.values() or bool(unnamed)
        if mode is GenerationMode.POSITIVE and path.endswith("/photos/"):
            let_off = True
        judged = [each for each in CHECKS if not let_off or each not in STRICT]
        response = case.call(headers=self.headers)
        self.answered[response.status_code] += 1
        case.validate_response(response, checks=judged)

    def _bent(self, case: Case[Any], chance: random.Random) -> Any:
        body = known(case.body, self.there, chance)
        good = self.good.get(case.operation.label)
        if not isinstance(body, dict) or not isinstance(good, dict) or chance.random() < 0.5:
            return body
        kept = chance.sample(sorted(body), min(len(body), chance.randrange(3)))
        return {**good, **{name: body[name] for name in kept}}


def try_out(operation: Any, mode: GenerationMode, callers: list[Caller]) -> dict[str, str]:
    """Let everybody send what was made up of one call; return what was wrong, by kind."""
    faults: dict[str, str] = {}

    @hypothesis.settings(
        max_examples=EXAMPLES[mode],
        derandomize=True,
        database=None,
        deadline=None,
        phases=[Phase.generate],
        suppress_health_check=list(HealthCheck),
    )
    @given(case=operation.as_strategy(generation_mode=mode), seed=st.integers(0, 2**32))
    def each(case: Case[Any], seed: int) -> None:
        for caller in callers:
            asked = case.derive()
            try:
                caller.ask(asked, mode, random.Random(seed))
            except FailureGroup as group:
                for failure in group.exceptions:
                    name = f"{operation.label}: {type(failure).__name__}"
                    faults.setdefault(name, f"{failure}\n{asked.as_curl_command()}")

    with suppress(hypothesis.errors.Unsatisfiable):  # nothing of it can be made bad
        each()
    return faults


@pytest.mark.parametrize("hand", range(HANDS))
@pytest.mark.long
def test_every_answer_is_one_that_the_document_promises(document: Any, hand: int) -> None:
    there = scene.build()
    callers = {key: Caller(key, there) for key in CALLERS}
    faults: dict[str, str] = {}
    dealt = [found.ok() for found in document.get_all_operations()][hand::HANDS]
    for operation in sorted(dealt, key=lambda each: each.path.endswith(ENDS)):
        for mode in EXAMPLES:
            faults |= try_out(operation, mode, [*callers.values()])
    assert not faults, "\n\n".join(f"{name}: {text}" for name, text in faults.items())
    for key, caller in callers.items():
        # Not all of it was noise: it was let in, did something, was refused in more than one way.
        reached = {200, 400, 404} if key else {401}
        reached |= {403} if key in SOME_ROLE else set()
        reached |= {201, 422} if key in INSIDE else set()
        assert reached <= caller.answered.keys(), (key, caller.answered)
    assert sum(caller.answered.total() for caller in callers.values()) >= LEAST / HANDS
