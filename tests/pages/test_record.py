"""The record on pages: in words, by group, page by page, and one entry whole."""

import hashlib
import html
import re
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest
from django.test import Client

from scoring.actions import assessments
from tests import cast, readings
from tests.api.asking import Asker
from tests.outside import EXACT, outside
from yards import audit
from yards.models import Entry, Grant, User
from yards.pages import entry_words

SignIn = Callable[[str], Client]
ROOT = Path(__file__).resolve().parents[2]
LEAD = (
    "No entry is ever altered or removed. Erasing a person takes out their name and what entries "
    "said about them; each fingerprint stays."
)
LINE = (
    "The fingerprint shows later that this entry is unaltered. It does not show that a score was "
    "right."
)


def text(client: Client, path: str) -> str:
    return html.unescape(client.get(path).content.decode())


def score(inside: Any, horse: str, *, by: str = "tobias") -> None:
    with inside(by) as viewer:
        now = datetime.now(UTC)
        raw = readings.raw(horse, now, "2.5", "3", "2.5", note="Quiet, <b>calm</b>")
        assessments.record_assessment(viewer, raw, now=now)


@pytest.fixture
def scored(signed_in: SignIn, inside: Any) -> str:
    """A score of Teasel by Tobias; return the path of its entry."""
    score(inside, "Teasel")
    with inside("isolde"):
        return f"/record/{Entry.objects.get(verb='assessment.recorded').ref}/"


def test_the_list_says_who_did_what_to_whom(signed_in: SignIn, inside: Any, scored: str) -> None:
    with inside("isolde"):
        leaf = bytes(Entry.objects.get(verb="assessment.recorded").leaf).hex()
    for caller in ("isolde", "keziah", "hollis"):
        page = text(signed_in(caller), "/record/")
        assert "Tobias Wren recorded a score" in page
        assert ">Teasel<" in page
        assert f"{leaf[:12]}…" in page
        assert leaf not in page
        assert LINE in page
        assert LEAD in page
        assert "Times are those of Europe/London" in page


@outside(
    "the fingerprint shown is the leaf hash of the bytes shown",
    source="RFC 9162, section 2.1.1",
    status=EXACT,
)
def test_one_entry_is_shown_whole_with_the_bytes_of_its_fingerprint(
    signed_in: SignIn, scored: str
) -> None:
    page = text(signed_in("keziah"), scored)
    body = page.split('<pre class="code" translate="no">')[1].split("</pre>")[0]
    # RFC 9162, section 2.1.1: a leaf is hashed with a zero byte before it.
    leaf = hashlib.sha256(b"\x00" + body.encode()).hexdigest()
    assert leaf in page
    assert LINE in page
    for said in ("Tobias Wren", "Teasel", "Neck and shoulder", "Danger signs"):
        assert said in page
    assert "(Europe/London)" in page
    # Felt values are points with halves, never bare counts (the house's vocabulary).
    assert "2½ (kept as 5 half points)" in page


def test_what_people_wrote_is_text_and_never_markup(signed_in: SignIn, scored: str) -> None:
    page = signed_in("isolde").get(scored).content.decode()
    assert "Quiet, &lt;b&gt;calm&lt;/b&gt;" in page
    assert "<b>calm" not in page


def test_groups_part_the_record_and_nothing_is_in_none(
    signed_in: SignIn, inside: Any, scored: str
) -> None:
    client = signed_in("isolde")
    client.post("/people/add/", {"person": "a@example.org", "role": "auditor", "all_yards": "true"})
    assert "recorded a score" in text(client, "/record/?group=scores")
    assert "let somebody in" not in text(client, "/record/?group=scores")
    assert "let somebody in" in text(client, "/record/?group=people")
    assert "Nothing recorded here yet" in text(client, "/record/?group=weights")
    about = text(client, f"/record/?about={cast.ref('Teasel')}")
    assert "recorded a score" not in about, "its target is the score itself"
    assert "Of which thing" in about
    assert "Of which thing" not in text(client, "/record/")
    kept = client.get(f"/record/?about={cast.ref('Teasel')}&group=scores").content.decode()
    assert 'href="?group=scores"' in kept, "the way back keeps the group"
    grouped = [verb for verbs in entry_words.GROUPS.values() for verb in verbs]
    assert len(grouped) == len(set(grouped))


def test_an_auditors_look_is_in_the_record_it_shows(signed_in: SignIn) -> None:
    signed_in("hollis").get("/yards/")
    page = text(signed_in("isolde"), "/record/?group=looks")
    assert "Hollis Brand looked" in page


def test_every_verb_that_is_written_has_a_sentence_and_a_group() -> None:
    written = set()
    for package in ("yards", "scoring"):
        for path in (ROOT / package / "actions").rglob("*.py"):
            written |= set(re.findall(r'"([a-z_]+\.[a-z_]+)"', path.read_text()))
    queries = (ROOT / "scoring" / "queries" / "concerns.py").read_text()
    written |= set(re.findall(r'"([a-z_]+\.[a-z_]+)"', queries)) | {"read"}
    grouped = {verb for verbs in entry_words.GROUPS.values() for verb in verbs}
    assert len(written) > 20
    assert written <= grouped
    for verb in grouped:
        assert verb not in entry_words.sentence(verb, "Somebody") or verb == "read"


def test_pages_go_on_where_one_ends_and_back(signed_in: SignIn, inside: Any) -> None:
    with inside("isolde") as viewer:
        for number in range(60):
            audit.record(
                viewer,
                verb="horse.changed",
                target=("horse", cast.ref("Teasel")),
                payload={"note": str(number)},
                at=datetime.now(UTC),
            )
    client = signed_in("isolde")
    first = text(client, "/record/?group=horses")
    older = re.search(r'href="(\?[^"]*cursor=[^"]*)"', first)
    assert older is not None
    assert "group=horses" in older[1]
    second = text(client, f"/record/{older[1]}")
    assert (first.count("changed a horse"), second.count("changed a horse")) == (50, 10)
    assert "Previous page" in second


def test_an_erased_payload_is_told_and_the_fingerprint_stands(
    signed_in: SignIn, inside: Any, scored: str
) -> None:
    """An entry whose payload row is not there, as after an erasure."""
    with inside("isolde") as viewer:
        first = Entry.objects.get(verb="assessment.recorded")
        bare = Entry.objects.create(
            organisation_id=viewer.organisation,
            ref=cast.ref("an erased entry"),
            at=first.at,
            actor="system",
            via="task",
            verb="yard.swept",
            target_kind="yard",
            target_ref=cast.ref("Top Barn"),
            body=first.body,
            leaf=first.leaf,
        )
    page = text(signed_in("isolde"), f"/record/{bare.ref}/")
    assert "has been erased" in page
    assert "Halfpoint, by a timer" in page
    assert bytes(first.leaf).hex() in page


@pytest.mark.parametrize("caller", ["maud", "tobias"])
def test_assessors_do_not_read_the_record(signed_in: SignIn, scored: str, caller: str) -> None:
    assert signed_in(caller).get("/record/").status_code == 403
    assert signed_in(caller).get(scored).status_code == 403


def test_a_vet_of_one_yard_reads_its_entries_only(
    signed_in: SignIn, inside: Any, scored: str
) -> None:
    score(inside, "Marram")
    asked = {
        "person": "vet@example.org",
        "name": "Dr Wren",
        "role": "vet",
        "yards": [str(cast.ref("Nether Paddocks"))],
        "registration_number": "7002003",
        "register": "invented register",
    }
    made = Asker("isolde").post("grants/", asked).json()
    with inside("isolde"):
        Grant.objects.filter(ref=made["id"]).update(confirmed_at=datetime.now(UTC))
    client = Client()
    client.force_login(User.objects.get(email="vet@example.org"))
    page = text(client, "/record/")
    assert ">Marram<" in page
    assert "Teasel" not in page
    assert "let somebody in" not in page
    assert client.get(scored).status_code == 404


def test_another_organisations_entries_are_nothing(signed_in: SignIn, scored: str) -> None:
    client = signed_in("perran")
    assert client.get(scored).status_code == 404
    assert "Tobias" not in text(client, "/record/")
    assert "Nothing recorded here yet" in text(client, f"/record/?about={cast.ref('Teasel')}")
    assert client.get("/record/?about=nonsense").status_code == 404
    assert client.get("/record/?cursor=nonsense").status_code == 400
