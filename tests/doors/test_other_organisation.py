"""Another organisation's ids, in every path and in every field of a body, are ids of nothing."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import pytest

from tests import cast, photos
from tests.api.asking import Answer, Asker
from tests.doors import counting, knocking, matrix
from tests.doors.conftest import Stage
from tests.doors.matrix_alerts import LADDER
from tests.doors.scene import Scene, ahead, assessment, exception, fresh, weighing

NAMED = {"X-Request-ID": "the-same-request"}
# What stands in a yard that Maud's grant does not name.
OUT_OF_SCOPE = {
    "Top Barn": "Nether Paddocks",
    "Sallow Field": "Nether Paddocks",
    "Teasel": "Marram",
    "Sorrel Lad": "Marram",
    "stray": "Marram",
    "assessment": "hidden assessment",
    "weighing": "hidden weighing",
    "photo": "hidden photo",
    "question": "hidden question",
    "note": "hidden note",
    "order": "hidden order",
}


@pytest.mark.parametrize("row", [row for row in matrix.API if "id" in row.ids], ids=str)
def test_in_a_path_it_is_not_found_byte_for_byte_as_an_unknown_one(
    gallery: Stage, row: matrix.Row
) -> None:
    with gallery() as scene:
        before = counting.rows()
        asked = [
            ("perran", knocking.path_of(row, scene)),
            ("perran", knocking.path_of(row, scene, id=fresh("unknown"))),
            ("isolde", knocking.path_of(row, scene, id=fresh("unknown"))),
        ]
        if row.ids["id"] in OUT_OF_SCOPE:
            hidden = scene[OUT_OF_SCOPE[row.ids["id"]]]
            asked.append(("maud", knocking.path_of(row, scene, id=hidden)))
        body = None if row.method == "GET" else knocking.body_of(row, scene)
        answers = [
            Asker(caller).send(row.method, path, body, headers=NAMED) for caller, path in asked
        ]
        assert [each.status_code for each in answers] == [404] * len(answers)
        assert len({each.content for each in answers}) == 1
        assert counting.rows() == before


@dataclass(frozen=True)
class Case:
    """A body with a place for an id, and the field that the id is refused at.

    ``theirs`` is a thing of Quillet Moor, ``hidden`` one of Quillet Moor that Maud may not know of
    (None where only coordinators may ask).
    """

    path: str
    body: Callable[[str], dict[str, Any]]
    field: str
    theirs: str
    hidden: str | None = None


BODIES = (
    Case("assessments/", assessment, "horse", "Teasel", "Marram"),
    Case("weighings/", weighing, "horse", "Teasel", "Marram"),
    Case("photos/", lambda ref: photos.form("horse", ref), "of_id", "Teasel", "Marram"),
    Case(
        "photos/",
        lambda ref: photos.form("assessment", ref),
        "of_id",
        "assessment",
        "hidden assessment",
    ),
    Case("photos/", lambda ref: photos.form("concern", ref), "of_id", "concern", "hidden concern"),
    Case(
        "yards/{home}/walk/",
        lambda ref: {"horses": [ref], "version": 1},
        "horses.0",
        "Teasel",
        "Marram",
    ),
    Case(
        "weight-formulas/estimate/",
        lambda ref: {
            "formula": "carroll_huntington_1988",
            "girth_cm": 185,
            "length_cm": 165,
            "horse": ref,
        },
        "horse",
        "Teasel",
        "Marram",
    ),
    Case("rule-exceptions/", exception, "horse", "Teasel"),
    Case(
        "rule-exceptions/",
        lambda ref: {**exception(""), "horse": None, "yard": ref},
        "yard",
        "Top Barn",
    ),
    Case("rules/fat/preview/", lambda ref: {"on": False, "horse": ref}, "horse", "Teasel"),
    Case(
        "weighings/",
        lambda ref: {**weighing("{own}"), "method": "weigh_tape", "instrument": ref},
        "instrument",
        "tape",
    ),
    Case(
        "assessments/",
        lambda ref: assessment(
            "{own}",
            weighing={"method": "weigh_tape", "weight_kg": "400", "instrument": ref},
        ),
        "weighing.instrument",
        "tape",
    ),
    Case(
        "horses/",
        lambda ref: {"name": "Oxlip", "yard": ref, "species": "horse", "is_unknown": True},
        "yard",
        "Top Barn",
        "Nether Paddocks",
    ),
    Case("horses/{own}/move/", lambda ref: {"yard": ref}, "yard", "Top Barn"),
    Case("horses/{own}/merge/", lambda ref: {"into": ref}, "into", "Teasel"),
    Case(
        "instruments/",
        lambda ref: {"kind": "weigh_tape", "label": "Tape", "yard": ref},
        "yard",
        "Top Barn",
    ),
    Case("absences/", lambda ref: {"person": ref, "until": ahead(days=9)}, "person", "maud"),
    Case(
        "escalation/urgent/preview/",
        lambda ref: {**LADDER, "yard": ref},
        "yard",
        "Top Barn",
    ),
    Case(
        "escalation/urgent/preview/",
        lambda ref: {**LADDER, "steps": [{**LADDER["steps"][0], "people": [ref]}]},
        "steps.0.people",
        "maud",
    ),
    Case(
        "grants/",
        lambda ref: {"person": ref, "role": "auditor", "yards": "all"},
        "person",
        "maud",
    ),
    Case(
        "grants/",
        lambda ref: {"person": "{self}", "role": "auditor", "yards": [ref]},
        "yards",
        "Top Barn",
    ),
    Case(
        "grants/",
        lambda ref: {"person": "{self}", "role": "auditor", "horses": [ref]},
        "horses",
        "Teasel",
    ),
)


def _filled(part: Any, names: dict[str, str]) -> Any:
    if isinstance(part, dict):
        return {name: _filled(each, names) for name, each in part.items()}
    if isinstance(part, list):
        return [_filled(each, names) for each in part]
    return names.get(part, part) if isinstance(part, str) else part


def _sent(scene: Scene, caller: str, case: Case, ref: str) -> bytes:
    own = scene["Gorse"] if caller == "perran" else scene["Teasel"]
    home = scene["Larchgill Yard"] if caller == "perran" else scene["Top Barn"]
    names = {"{own}": own, "{self}": scene["perran" if caller == "perran" else "isolde"]}
    filled = _filled(case.body(ref), names)
    # The same moment in each, so that nothing but the id differs.
    filled = {**filled, **({"taken_at": "2026-11-01T10:00:00Z"} if "taken_at" in filled else {})}
    path = case.path.replace("{own}", own).replace("{home}", home)
    response = Asker(caller).post(path, filled, headers=NAMED)
    assert response.status_code == 422, knocking.told(response)
    return response.content


@pytest.mark.parametrize("case", BODIES, ids=lambda case: f"{case.path} {case.field}")
def test_in_a_body_it_is_refused_at_its_field_as_an_unknown_one(gallery: Stage, case: Case) -> None:
    with gallery() as scene:
        before = counting.rows()
        answers = {
            _sent(scene, "perran", case, scene[case.theirs]),
            _sent(scene, "perran", case, fresh("unknown")),
        }
        if case.hidden is not None:
            answers.add(_sent(scene, "maud", case, scene[case.hidden]))
            answers.add(_sent(scene, "maud", case, fresh("unknown")))
        assert len(answers) == 1
        assert f'"field":"{case.field}"'.encode() in answers.pop()
        assert counting.rows() == before


def test_a_body_that_names_an_organisation_is_not_heard(gallery: Stage) -> None:
    """Whoever asks says it by token or session; what a body says besides opens nothing."""
    ours = str(cast.ref(cast.QUILLET))
    with gallery() as scene:
        before = counting.rows()
        for row in matrix.API:
            body = knocking.body_of(row, scene)
            if row.method == "GET" or row.expected["perran"] < 400 or "image" in body:
                continue
            named = {**body, "organisation": ours, "organisation_id": ours}
            answer = Asker("perran").send(row.method, knocking.path_of(row, scene), named)
            assert answer.status_code == row.expected["perran"], (row, knocking.told(answer))
        assert counting.rows() == before


def test_no_list_of_theirs_holds_a_word_of_ours(gallery: Stage) -> None:
    with gallery() as scene:
        ours = [*scene.ids.values(), "Quillet", "Teasel", "Maud", "Isolde"]
        # The caller's own, and those of the caller's own organisation.
        own = {scene[name] for name in ("perran", "Gorse", "Larchgill Yard")}
        for row in matrix.API:
            if row.method == "GET" and not row.ids and row.expected["perran"] == 200:
                said = knocking.knock(row, scene, "perran").content.decode()
                leaked = [each for each in ours if each not in own and each in said]
                if row.name not in {"api_schema", "api_docs"}:
                    assert not leaked, row.name


def _said(response: Answer) -> str:
    return b"".join(response).decode(errors="replace")


def test_no_list_of_some_yards_holds_a_word_of_the_others(stage: Stage) -> None:
    """Nor of what is another's own: why somebody is away is read by them and by coordinators."""
    with stage() as scene:
        off_feed = assessment(scene["Marram"], danger_signs=["not_eating"])
        alert = Asker("tobias").post("assessments/", off_feed).json()["alerts"][0]["id"]
        hidden = {"Marram", "Nether Paddocks", scene["Marram"], scene["Nether Paddocks"]}
        hidden |= {alert, *(ref for name, ref in scene.ids.items() if name.startswith("hidden"))}
        sings: set[str] = set()
        for row, knock in (
            *((row, knocking.knock) for row in matrix.API),
            *((row, knocking.knock_on_page) for row in matrix.PAGES),
        ):
            if row.method == "GET" and not row.ids and row.expected["maud"] == 200:
                told = _said(knock(row, scene, "maud"))
                assert not [each for each in hidden if each in told], row.name
                if knock is knocking.knock:
                    assert scene["absence"] not in _said(knock(row, scene, "tobias")), row.name
                    whole = _said(knock(row, scene, "isolde"))
                    sings |= {each for each in (*hidden, scene["absence"]) if each in whole}
        assert {alert, "Marram", scene["absence"], scene["hidden assessment"]} <= sings
        due = f"due/?on={ahead(days=90)[:10]}"  # today nothing is
        assert scene["Marram"] in _said(Asker("isolde").get(due))
        assert scene["Marram"] not in _said(Asker("maud").get(due))


def test_a_filter_by_their_id_finds_nothing(gallery: Stage) -> None:
    with gallery() as scene:
        perran = Asker("perran")
        for path in ("assessments/", "weighings/", "alerts/"):
            for name in ("horse", "yard"):
                theirs = scene["Teasel" if name == "horse" else "Top Barn"]
                known = perran.get(f"{path}?{name}={theirs}")
                unknown = perran.get(f"{path}?{name}={fresh('unknown')}")
                assert known.status_code == unknown.status_code == 200
                assert known.json()["results"] == unknown.json()["results"] == []


def test_a_new_id_that_they_hold_too_is_no_clash(stage: Stage) -> None:
    """A client's id is unique within its organisation only, else a clash would tell."""
    with stage() as scene:
        body = assessment(scene["Gorse"], id=scene["assessment"])
        assert Asker("perran").post("assessments/", body).status_code == 201
