"""The alias in the place of the name in texts: there only, nothing else, by nobody else's hand."""

from collections.abc import Callable
from contextlib import AbstractContextManager

import pytest
from django.apps import apps
from django.db import connection, transaction
from django.db.utils import DataError, IntegrityError, ProgrammingError

from scoring.actions import unnaming
from scoring.models import Assessment, ClinicalNote, Concern, Question
from scoring.queries import free_words, personal
from tests import cast
from tests.actions.record import NOW, entries
from tests.api.asking import Asker
from tests.doors.scene import ago, assessment
from yards.actions import erasing
from yards.models import Entry
from yards.queries import erasing as queries
from yards.rules.roles import Viewer

Inside = Callable[..., AbstractContextManager[Viewer]]
MAUD, TEASEL = cast.ref("maud"), str(cast.ref("Teasel"))
SURE = {"reason": "Asked for it", "understood": True}
ALIAS = "Erased person 1"
FULL = "Maud Pell " + "x" * 490
SAID = (
    ("Dull. MAUD pell saw it (maud@example.org).", f"Dull. {ALIAS} saw it ({ALIAS})."),
    ("Maud Pellow saw it, and Maud", "Maud Pellow saw it, and Maud"),
)


def written() -> None:
    """Texts of others with the name in them, and some that only look so."""
    tobias, keziah = Asker("tobias"), Asker("keziah")
    for (note, _), more in zip(SAID, ({"held_by": "Maud Pell"}, {"limits": FULL}), strict=True):
        sent = tobias.post("assessments/", assessment(TEASEL, note=note, **more))
        assert sent.status_code == 201, sent.content
    path = f"horses/{TEASEL}"
    for asker, where, body in (
        (tobias, "concerns", {"seen_at": ago(hours=1), "note": "Says Maud Pell"}),
        (tobias, "questions", {"text": "Shall Maud Pell clip her?"}),
        (keziah, "clinical-notes", {"text": "Heart murmur, heard by Maud Pell."}),
    ):
        assert asker.post(f"{path}/{where}/", body).status_code == 201


@pytest.mark.parametrize("texts", [True, False])
def test_the_name_goes_where_it_is_asked_for_and_the_rest_stays(
    inside: Inside, texts: bool
) -> None:
    written()
    with inside("isolde") as viewer:
        known = queries.known(viewer, MAUD)
        before = {each.table: each.rows for each in free_words.holding(viewer, known)}
        named = {"scoring_assessment": 2, "scoring_concern": 1, "scoring_question": 1}
        assert before == {**named, "scoring_clinicalnote": 1}
        plain = list(Assessment.objects.order_by("id").values("overall_sixths", "content_digest"))
        erasing.erase(viewer, MAUD, {**SURE, "texts": texts}, now=NOW)
        rows = Assessment.objects.order_by("id")
        notes = list(rows.values_list("note", "held_by", "limits"))
        if texts:
            # What would grow too long for its line stays.
            assert notes == [(SAID[0][1], ALIAS, ""), (SAID[1][1], "", FULL)]
            assert Concern.objects.get().note == f"Says {ALIAS}"
            assert Question.objects.get().text == f"Shall {ALIAS} clip her?"
            assert ClinicalNote.objects.get().text == f"Heart murmur, heard by {ALIAS}."
        else:
            assert notes[0] == (SAID[0][0], "Maud Pell", "")
            assert {each.table: each.rows for each in free_words.holding(viewer, known)} == before
        assert list(rows.values("overall_sixths", "content_digest")) == plain
        [(_, _, _, said)] = entries(MAUD)
        assert said["texts"] == (4 if texts else 0)
        assert Entry.objects.filter(verb="assessment.recorded").count() == 2


def tried(statement: str) -> type[Exception] | None:
    try:
        with transaction.atomic(), connection.cursor() as cursor:
            cursor.execute(statement)
    except (IntegrityError, ProgrammingError, DataError) as refused:
        return type(refused)
    return None


def changing(what: str) -> type[Exception] | None:
    return tried(f"UPDATE scoring_assessment SET {what}")  # noqa: S608 - from this file alone


def test_no_other_change_of_such_a_text_is_let_through(inside: Inside) -> None:
    written()
    renamed = "note = halfpoint_unnamed(note, 'Maud Pell', 'maud@example.org', 'Erased person 1')"
    with inside("isolde") as viewer:
        # Before there is an erasure not even that.
        assert changing(renamed) is IntegrityError
        erasing.erase(viewer, MAUD, SURE, now=NOW)
        for other in ("note = ''", "note = note || '.'", "note = 'Erased person 1'"):
            assert changing(other) is IntegrityError, other
        for closed in (f"{renamed}, neck = 2", "recorded_by_id = gen_random_uuid()"):
            assert changing(closed) is ProgrammingError, closed
        assert tried("DELETE FROM scoring_assessment") is ProgrammingError
        assert changing(renamed) is None
        assert Assessment.objects.order_by("id")[0].note == SAID[0][1]


def test_the_words_that_are_renamed_are_columns_of_tables_that_there_are() -> None:
    there = {
        personal.table_of(model): {each.column for each in personal.columns(model)}
        for model in apps.get_models()
    }
    for table, columns in unnaming.WORDS.items():
        assert set(columns) <= there[table], table
