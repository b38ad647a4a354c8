"""Data protection: what the page says, and one person's data, all of it and nobody else's."""

import html
import json
from collections.abc import Callable
from typing import Any

from django.apps import apps
from django.db import connection
from django.test import Client

from scoring.queries import personal
from tests import cast, signing
from tests.api.asking import Asker
from tests.doors.scene import ago, assessment
from yards.models import Entry, Owned

SignIn = Callable[[str], Client]
PATH = "/organisation/personal/"
TEASEL = str(cast.ref("Teasel"))
MAUD, PERRAN = str(cast.ref("maud")), str(cast.ref("perran"))


def test_a_person_s_copy_holds_all_that_names_them(signed_in: SignIn, inside: Any) -> None:
    made = Asker("maud").post("assessments/", assessment(TEASEL, note="By Maud herself")).json()
    Asker("tobias").post("assessments/", assessment(TEASEL, note="By Tobias"))
    seen = {"seen_at": ago(hours=1), "note": "Dull, says Maud"}
    assert Asker("maud").post(f"horses/{TEASEL}/concerns/", seen).status_code == 201
    isolde = signed_in("isolde")
    page = html.unescape(isolde.get("/organisation/").content.decode())
    assert f'href="{PATH}"' in page
    assert "Maud Pell" in isolde.get(PATH).content.decode()
    answer = isolde.post(PATH, {"person": MAUD})
    assert answer["Content-Type"] == "application/json"
    assert answer["Content-Disposition"] == f'attachment; filename="person-{MAUD}.json"'
    told = answer.json()
    assert (told["person"]["name"], told["person"]["email"]) == ("Maud Pell", "maud@example.org")
    assert told["counts"] == {name: len(rows) for name, rows in told["tables"].items()}
    [scored] = told["tables"]["scoring_assessment"]
    assert (scored["ref"], scored["note"]) == (made["id"], "By Maud herself")
    assert [each["note"] for each in told["tables"]["scoring_concern"]] == ["Dull, says Maud"]
    assert [each["role"] for each in told["tables"]["yards_grant"]] == ["assessor"]
    verbs = {each["verb"]: each for each in told["tables"]["yards_entry"]}
    assert verbs["assessment.recorded"]["says"]["note"] == "By Maud herself"
    text = answer.content.decode()
    assert "By Tobias" not in text
    assert not any(word in text for word in ("password", "digest", "argon2"))
    with inside("isolde"):
        [entry] = Entry.objects.filter(verb="person.exported")
        assert (entry.actor, str(entry.target_ref)) == (f"person:{cast.ref('isolde')}", MAUD)


def test_nobody_else_s_and_no_stranger_s(signed_in: SignIn, inside: Any) -> None:
    for wrong in (PERRAN, str(cast.ref("nobody")), "", "x\0"):
        refused = signed_in("isolde").post(PATH, {"person": wrong})
        assert refused.status_code == 422, wrong
        assert 'id="person-fault"' in refused.content.decode()
    with inside("isolde"):
        assert not Entry.objects.filter(verb="person.exported").exists()


def test_no_table_with_a_person_in_it_is_left_out(database: str) -> None:
    """By the database's own word: every foreign key to people is one that the copy follows."""
    with connection.cursor() as cursor:
        cursor.execute(
            "SELECT conrelid::regclass::text, attname FROM pg_constraint JOIN pg_attribute "
            "ON attrelid = conrelid AND attnum = conkey[1] "
            "WHERE contype = 'f' AND confrelid = 'yards_user'::regclass"
        )
        tied = {(table, column) for table, column in cursor.fetchall()}
    followed = {
        (personal.table_of(model), f"{name}_id")
        for model in apps.get_models()
        if issubclass(model, Owned)
        for name in personal.pointing(model)
    }
    apart = {table for table, _ in tied - followed}
    # What only signing in needs; it is told in words on the page.
    assert apart <= {"account_emailaddress", "mfa_authenticator", "usersessions_usersession"}
    assert len(followed) > 20
    assert json.loads(personal.as_json(personal.Held({}, {}), cast.BEGAN))["counts"] == {}


def test_the_page_of_an_erasure_counts_asks_and_says_that_it_was_done(signed_in: SignIn) -> None:
    isolde, path = signed_in("isolde"), f"{PATH}{MAUD}/erase/"
    Asker("tobias").post("assessments/", assessment(TEASEL, note="Held by Maud Pell"))
    assert f'href="{path}"' in isolde.get(PATH).content.decode()
    assert f"{PATH}{cast.ref('isolde')}/erase/" not in isolde.get(PATH).content.decode()
    page = html.unescape(isolde.get(path).content.decode())
    assert "1 grant ends, with every token" in page
    assert "What 1 entry of the record says is removed" in page
    assert f'(<a href="/horses/{TEASEL}/"><bdi>Teasel</bdi></a>)' in page
    refused = isolde.post(path, {"reason": "Asked for it", "texts": "true"})
    assert refused.status_code == 422
    kept = html.unescape(refused.content.decode())
    assert 'id="understood-fault"' in kept
    assert 'value="Asked for it"' in kept
    said = {"reason": "Asked for it", "texts": "true", "understood": "true"}
    for _ in range(2):
        done = isolde.post(path, said)
        assert (done.status_code, done["Location"]) == (303, f"{PATH}#erased")
    listed = isolde.get(PATH).content.decode()
    assert ("Erased person 1" in listed, "Maud Pell" in listed) == (True, False)
    assert "They have been erased" in isolde.get(path).content.decode()
    horse = isolde.get(f"/horses/{TEASEL}/values/").content.decode()
    assert ("Maud Pell" in horse, "Tobias Wren" in horse) == (False, True)
    signing.gave_password(isolde, 0)
    assert isolde.post(path, said).status_code in {302, 303}
    assert isolde.get(path)["Location"].startswith("/accounts/reauthenticate/")
