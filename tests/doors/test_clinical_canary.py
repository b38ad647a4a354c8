"""The words of a clinical note reach vets and coordinators, and nobody else by any page or call.

Every address that there is is asked for by everybody who must not read, with the ids of everything
in the scene; then what is kept beside it is looked through.
"""

import logging
import re
from collections.abc import Iterator
from itertools import product
from typing import Any

import pytest
from django.conf import settings
from django.db import connection
from django.test import Client
from psycopg import sql

from tests import copies, signing
from tests.api.asking import Asker
from tests.conftest import as_somebody, connected
from tests.doors import knocking, matrix
from tests.doors.scene import Scene, fresh

WORDS = "canary-5c1e"
FIRST, SECOND = f"Suspect PPID, {WORDS}", f"No PPID after all, {WORDS}"
WHY = f"The result came, {WORDS}"
NOTES = ("first note", "entry of first note", "second note", "entry of second note")
NAMED = re.compile("note|entr|record")
# Nobody, and those of elsewhere, are asked of by ``test_canaries`` and ``test_cells``.
UNREADERS = ("maud", "tobias", "hollis", "device")


@pytest.fixture(scope="session")
def noted(built: tuple[str, Scene], django_db_blocker: Any) -> Iterator[tuple[str, Scene]]:
    """A little of everything, and two notes of Teasel's with words that stand nowhere else."""
    template, there = built
    with copies.cloned(template) as name, django_db_blocker.unblock():
        with copies.at(name):
            made = Scene({**there.ids, **_notes(there)})
        yield name, made


@pytest.fixture
def scene(noted: tuple[str, Scene], django_db_blocker: Any) -> Iterator[Scene]:
    """A copy of it."""
    template, made = noted
    with connected(template, django_db_blocker):
        yield made


def _notes(there: Scene) -> dict[str, str]:
    """Write the notes, and return the ids of them and of their entries."""
    keziah, path = Asker("keziah"), f"horses/{there['Teasel']}/clinical-notes/"
    first = keziah.post(path, {"text": FIRST})
    assert first.status_code == 201, first.content
    raw = {"text": SECOND, "reason": WHY}
    second = keziah.post(f"clinical-notes/{first.json()['id']}/correct/", raw)
    assert second.status_code == 201, second.content
    found = {"first note": first.json()["id"], "second note": second.json()["id"]}
    for name, ref in tuple(found.items()):
        told = Asker("isolde").get(f"record/entries/?target={ref}").json()["results"]
        found[f"entry of {name}"] = told[0]["entry"]
    return found


def client_of(key: str) -> Client:
    return signing.signed_in(key)


def addresses(scene: Scene, rows: tuple[matrix.Row, ...]) -> list[str]:
    """Every address that is read: with the row's own id, and with those of the notes."""
    found = set()
    for row in (each for each in rows if each.method == "GET"):
        found.add(knocking.path_of(row, scene))
        if "id" in row.ids:
            # An address of something else finds neither the one note nor the other.
            names = NOTES if NAMED.search(row.name) else NOTES[-2:]
            found |= {knocking.path_of(row, scene, id=scene[name]) for name in names}
    return sorted(found)


def asked_of_the_record(scene: Scene) -> list[str]:
    names = ("first note", "second note", "Teasel")
    return [
        f"{path}{ref}"
        for path, ref in product(
            ("/record/?about=", "/api/v1/record/entries/?target="), (scene[name] for name in names)
        )
    ]


def test_those_who_may_do_read_it(scene: Scene) -> None:
    """The canary sings where it should: otherwise the tests below could not fail."""
    for key in ("keziah", "isolde"):
        horse = client_of(key).get(f"/horses/{scene['Teasel']}/").content.decode()
        listed = client_of(key).get(f"/horses/{scene['Teasel']}/notes/").content.decode()
        told = Asker(key).get(f"horses/{scene['Teasel']}/clinical-notes/").content.decode()
        for page in (horse, listed, told):
            assert (FIRST in page, SECOND in page, WHY in page) == (True, True, True)


@pytest.mark.parametrize("key", [each for each in UNREADERS if each != "device"])
def test_no_page_tells_anybody_else(scene: Scene, key: str) -> None:
    """A phone has no session, and its person's pages are among these."""
    client = client_of(key)
    for path in (*addresses(scene, matrix.PAGES), *asked_of_the_record(scene)[:3]):
        answer = client.get(path)
        assert WORDS not in b"".join(answer).decode(errors="replace"), path


@pytest.mark.parametrize("key", UNREADERS)
def test_no_call_tells_anybody_else(scene: Scene, key: str) -> None:
    asker = Asker(key)
    for path in (*addresses(scene, matrix.API), *asked_of_the_record(scene)[3:]):
        answer = asker.get(path)
        assert WORDS not in answer.content.decode(errors="replace"), path


@pytest.mark.parametrize("key", ["maud", "hollis", "isolde"])
def test_a_refused_correction_tells_nothing_back(scene: Scene, key: str) -> None:
    raw = {"text": "Mine", "reason": "Mine", "id": fresh("mine")}
    answer = Asker(key).post(f"clinical-notes/{scene['second note']}/correct/", raw)
    assert answer.status_code == 403
    assert WORDS not in answer.content.decode()
    clash = {"text": "Mine", "id": scene["first note"]}
    answer = Asker(key).post(f"horses/{scene['Teasel']}/clinical-notes/", clash)
    assert answer.status_code == 403
    assert WORDS not in answer.content.decode()


def test_no_entry_holds_it_whoever_reads(scene: Scene) -> None:
    """Even a coordinator's: what leaves the house with the ledger holds the seal alone."""
    for key in ("isolde", "keziah"):
        for name in ("first note", "second note"):
            page = client_of(key).get(f"/record/{scene[f'entry of {name}']}/").content.decode()
            assert "Seal of its words" in page
            assert WORDS not in page
        told = Asker(key).get("record/entries/").content.decode()
        assert "clinical_note.corrected" in told
        assert WORDS not in told


def test_no_other_table_holds_it(scene: Scene) -> None:
    classes = settings.TABLE_CLASSES
    tables = (*classes["tenant"], *classes["door"], *classes["person"])
    with as_somebody("isolde"), connection.cursor() as cursor:
        held = {each for each in tables if holds(cursor, each, WORDS)}
    assert held == {"scoring_clinicalnote"}


def holds(cursor: Any, table: str, words: str) -> bool:
    """Whether any row of a table has some words, in text or in bytes."""
    found = sql.SQL(
        "SELECT EXISTS (SELECT FROM {} held WHERE strpos(held::text, %s) > 0 "
        "OR strpos(held::text, %s) > 0)"
    ).format(sql.Identifier(table))
    cursor.execute(found.as_string(None), [words, words.encode().hex()])
    return bool(cursor.fetchone()[0])


def test_no_log_holds_it(scene: Scene, caplog: Any) -> None:
    with caplog.at_level(logging.DEBUG):
        keziah, path = Asker("keziah"), f"horses/{scene['Teasel']}/clinical-notes/"
        assert keziah.post(path, {"text": FIRST, "reason": WORDS}).status_code == 422
        assert keziah.post(path, {"text": FIRST}).status_code == 201
        client_of("keziah").get(f"/horses/{scene['Teasel']}/notes/")
    assert WORDS not in caplog.text
