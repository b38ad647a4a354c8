"""Clinical notes: by vets only, never altered, corrected by a later one; no words in the ledger."""

import hashlib
import json
from typing import Any

import pytest
import rfc8785
import uuid_utils.compat as uuid_utils

from scoring.actions import clinical_notes as actions
from scoring.models import ClinicalNote
from scoring.queries import clinical_notes as queries
from tests import cast
from tests.actions.record import NOW, entries, racing, refused
from yards.models import Entry, EntryPayload
from yards.rules import errors

TEASEL = cast.ref("Teasel")
WORDS = "Suspect PPID; ACTH drawn, canary-7f3a"


def write(inside: Any, **raw: Any) -> queries.NoteCard:
    with inside("keziah") as viewer:
        return actions.write(viewer, TEASEL, {"text": WORDS, **raw}, now=NOW)


def test_the_ledger_holds_a_seal_and_no_word(inside: Any) -> None:
    made = write(inside)
    with inside("isolde"):
        [(verb, _, _, said)] = entries(made.id)
        row = ClinicalNote.objects.get(ref=made.id)
        held = b"".join(bytes(each.payload) for each in EntryPayload.objects.all())
        held += b"".join(bytes(each.body) for each in Entry.objects.all())
    assert verb == "clinical_note.written"
    assert (said["horse"], said["supersedes"]) == (str(TEASEL), None)
    told = rfc8785.dumps({"reason": "", "text": WORDS})
    assert said["sealed"] == hashlib.sha256(bytes(row.salt) + told).hexdigest()
    assert b"canary" not in held
    assert b"PPID" not in held


def test_the_same_again_is_a_replay_and_other_words_are_refused(inside: Any) -> None:
    ref = str(uuid_utils.uuid7())
    first, again = write(inside, id=ref), write(inside, id=ref)
    assert (again.id, again.text, again.replayed) == (first.id, WORDS, True)
    told = refused(lambda: write(inside, id=ref, text="Sound"))
    assert told == (errors.Conflict, [("id", "same_id_other_content")])
    with inside("isolde"):
        assert ClinicalNote.objects.count() == 1


def test_a_later_note_stands_in_its_place_with_who_when_and_why(inside: Any) -> None:
    first = write(inside)
    raw = {"text": "No PPID: ACTH normal", "reason": "Result came"}
    with inside("keziah") as viewer:
        second = actions.correct(viewer, first.id, raw, now=NOW)
        old, new = sorted(queries.list_notes(viewer, TEASEL).items, key=lambda each: each.id)
    assert (old.text, old.superseded_by) == (WORDS, second.id)
    assert (new.supersedes, new.reason, new.written_by.name) == (
        first.id,
        "Result came",
        "Dr Keziah Orme",
    )
    with inside("isolde"):
        [(verb, _, _, said)] = entries(second.id)
    assert verb == "clinical_note.corrected"
    assert "Result came" not in json.dumps(said)
    assert said["supersedes"] == str(first.id)


def test_only_the_newest_is_corrected_and_with_a_reason(inside: Any) -> None:
    first = write(inside)
    with inside("keziah") as viewer:
        bare = refused(lambda: actions.correct(viewer, first.id, {"text": "Sound"}, now=NOW))
        assert bare == (errors.Invalid, [("reason", "required")])
        raw = {"text": "Sound", "reason": "Another horse"}
        actions.correct(viewer, first.id, raw, now=NOW)
        told = refused(lambda: actions.correct(viewer, first.id, raw, now=NOW))
    assert told == (errors.Conflict, [("", "only_the_newest_is_corrected")])


def test_of_corrections_that_race_one_stands(inside: Any) -> None:
    first = write(inside)

    def correct(viewer: Any) -> str:
        try:
            raw = {"text": f"Sound, {uuid_utils.uuid7()}", "reason": "Another horse"}
            return str(actions.correct(viewer, first.id, raw, now=NOW).supersedes)
        except errors.Conflict:
            return "refused"

    assert sorted(racing("keziah", correct)) == sorted([str(first.id), *["refused"] * 7])
    with inside("isolde"):
        assert ClinicalNote.objects.count() == 2


@pytest.mark.parametrize("key", ["isolde", "maud", "tobias", "hollis", "device"])
def test_nobody_but_a_vet_writes_or_corrects(inside: Any, key: str) -> None:
    made = write(inside)
    raw = {"text": "Sound", "reason": "Another horse"}
    with inside(key) as viewer:
        wrote = refused(lambda: actions.write(viewer, TEASEL, {"text": "Sound"}, now=NOW))
        put_right = refused(lambda: actions.correct(viewer, made.id, raw, now=NOW))
    assert wrote == put_right == (errors.NotAllowed, [])


@pytest.mark.parametrize("key", ["maud", "tobias", "hollis", "device"])
def test_nobody_but_vets_and_coordinators_reads(inside: Any, key: str) -> None:
    made = write(inside)
    with inside(key) as viewer:
        listed = refused(lambda: queries.list_notes(viewer, TEASEL))
        got = refused(lambda: queries.get_note(viewer, made.id))
    assert listed == got == (errors.NotAllowed, [])


def test_a_coordinator_reads_and_another_organisation_finds_nothing(inside: Any) -> None:
    made = write(inside)
    with inside("isolde") as viewer:
        assert queries.get_note(viewer, made.id).text == WORDS
    with inside("perran") as viewer:
        assert refused(lambda: queries.get_note(viewer, made.id)) == (errors.NotFound, [])
        assert refused(lambda: queries.list_notes(viewer, TEASEL)) == (errors.NotFound, [])
        assert ClinicalNote.objects.count() == 0
