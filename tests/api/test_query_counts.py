"""Every list of the REST surface costs as many queries for twenty rows as for ten."""

from collections.abc import Callable, Mapping

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from tests import cast
from tests.api import contract
from tests.api.asking import Asker
from tests.doors.scene import ahead, assessment, exception, weighing

TEASEL = str(cast.ref("Teasel"))
TOP_BARN = str(cast.ref("Top Barn"))


def _made(path: str, body: Mapping[str, object], by: str = "isolde") -> str:
    answer = Asker(by).post(path, body)
    assert answer.status_code == 201, answer.content
    return str(answer.json()["id"])


def _yard(n: int) -> None:
    _made("yards/", {"name": f"Yard {n}", "time_zone": "Europe/London", "hemisphere": "north"})


def _horse(n: int) -> None:
    _made("horses/", {"name": f"Horse {n}", "yard": TOP_BARN, "species": "horse"})


def _event(n: int) -> None:
    at = f"2026-03-01T10:00:{n % 60:02}Z"
    _made(f"horses/{TEASEL}/events/", {"kind": "clipped", "at": at})


def _vet_order(n: int) -> None:
    body = {"score_days": 7 + n, "reason": f"Convalescent {n}", "until": ahead(days=30)}
    _made(f"horses/{TEASEL}/vet-orders/", body, by="keziah")


def _question(n: int) -> None:
    made = _made(f"horses/{TEASEL}/questions/", {"text": f"May she be clipped, {n}?"})
    if n % 2:
        answer = Asker("keziah").post(f"questions/{made}/answer/", {"text": "Yes"})
        assert answer.status_code == 200, answer.content


def _note(n: int) -> None:
    path = f"horses/{TEASEL}/clinical-notes/"
    made = _made(path, {"text": f"Heart murmur, grade {n}"}, by="keziah")
    if n % 2:
        better = {"text": "No murmur", "reason": "Another horse"}
        _made(f"clinical-notes/{made}/correct/", better, by="keziah")


def _assessment(n: int) -> None:
    """By turns a new alert's, a correction and one with a weighing: each row brings all it may."""
    weighed = {"method": "estimate", "weight_kg": "440"}
    signs = {"danger_signs": ["not_eating"], "weighing": weighed, "note": f"{n}"}
    first = _made("assessments/", assessment(TEASEL, **signs))
    if n % 2:
        better = assessment(TEASEL, reason="Misread the sheet", **signs)
        _made(f"assessments/{first}/correct/", better)


def _weighing(n: int) -> None:
    _made("weighings/", weighing(TEASEL, weight_kg=str(400 + n)))


def _instrument(n: int) -> None:
    _made("instruments/", {"kind": "weigh_tape", "label": f"Tape {n}", "yard": TOP_BARN})


def _alert(n: int) -> None:
    horse = _made("horses/", {"name": f"Thin {n}", "yard": TOP_BARN, "species": "horse"})
    _made("assessments/", assessment(horse, danger_signs=["not_eating"]))


def _exception(n: int) -> None:
    horse = _made("horses/", {"name": f"Excepted {n}", "yard": TOP_BARN, "species": "horse"})
    _made("rule-exceptions/", exception(horse))


def _comment(n: int) -> None:
    alert = _first_alert()
    _made(f"alerts/{alert}/comments/", {"text": f"Off the grass, {n}"})


def _first_alert() -> str:
    asker = Asker("isolde")
    found = asker.get("alerts/").json()["results"]
    if not found:
        _made("assessments/", assessment(TEASEL, danger_signs=["not_eating"]))
        found = asker.get("alerts/").json()["results"]
    return str(found[0]["id"])


def _absence(n: int) -> None:
    _made("absences/", {"until": ahead(days=n + 1), "reason": f"Away {n}"})


def _grant(n: int) -> None:
    scope = {"yards": [TOP_BARN], "horses": [str(cast.ref("Marram"))]}
    _made("grants/", {"person": f"person{n}@example.org", "role": "assessor", **scope})


def _invitation(n: int) -> None:
    asked = {"email": f"person{n}@example.org", "role": "assessor", "yards": [TOP_BARN]}
    _made("invitations/", asked)


# The list as the document names it -> what makes one more row of it.
LISTS: dict[str, Callable[[int], None]] = {
    "/api/v1/yards/": _yard,
    "/api/v1/horses/": _horse,
    "/api/v1/horses/{id}/events/": _event,
    "/api/v1/horses/{id}/vet-orders/": _vet_order,
    "/api/v1/horses/{id}/questions/": _question,
    "/api/v1/questions/": _question,
    "/api/v1/horses/{id}/clinical-notes/": _note,
    "/api/v1/assessments/": _assessment,
    "/api/v1/weighings/": _weighing,
    "/api/v1/instruments/": _instrument,
    "/api/v1/alerts/": _alert,
    "/api/v1/alerts/{id}/comments/": _comment,
    "/api/v1/absences/": _absence,
    "/api/v1/due/": _horse,
    "/api/v1/rule-exceptions/": _exception,
    "/api/v1/grants/": _grant,
    "/api/v1/invitations/": _invitation,
    "/api/v1/record/entries/": _yard,
}

# Lists of our own that no row is added to.
OURS = {"/api/v1/weight-formulas/", "/api/v1/rules/", "/api/v1/escalation/"}
MAKERS = {make: [path for path in LISTS if LISTS[path] is make] for make in LISTS.values()}


def queries(path: str, rows: int) -> int:
    """How many queries a list costs that shows so many rows, or more."""
    named = _first_alert() if path.startswith("/api/v1/alerts/{id}") else TEASEL
    with CaptureQueriesContext(connection) as seen:
        said = Asker("isolde").get(path.format(id=named)).json()
    assert len(said["results"]) >= rows, path
    return len(seen)


@pytest.mark.parametrize("make", MAKERS, ids=lambda each: each.__name__)
def test_twenty_rows_cost_as_many_queries_as_ten(
    database: str, make: Callable[[int], None]
) -> None:
    """The rows are made once for all lists that show them, since to make them costs the most."""
    counted = []
    for upto in (10, 20):
        for n in range(upto - 10, upto):
            make(n)
        counted.append({path: queries(path, upto) for path in MAKERS[make]})
    assert counted[0] == counted[1]


def test_no_list_of_the_document_is_left_out() -> None:
    schemas = contract.published()["components"]["schemas"]

    def is_list(operation: dict[str, object]) -> bool:
        content = operation["responses"]["200"]["content"]  # type: ignore[index]
        shape = content.get("application/json", {"schema": {}})["schema"]
        named = schemas.get(shape.get("$ref", "").rpartition("/")[2], shape)
        return "results" in named.get("properties", {})

    published = contract.published()["paths"]
    lists = {path for path, each in published.items() if "get" in each and is_list(each["get"])}
    assert lists == LISTS.keys() | OURS
