"""Whoever is shut out is told so in words by the next request, whatever it asks for."""

from datetime import UTC, datetime
from typing import Any

from django.test import Client

from tests import cast, signing
from tests.api.asking import Asker
from tests.conftest import as_somebody
from yards.actions import grants
from yards.models import Entry, Grant, User

TEASEL = cast.ref("Teasel")
SHUT = "Your account was shut by whoever runs this service"
# An open page, one that asks by itself, and files whose address was built before.
PAGES = (
    *("/", "/wall/", f"/horses/{TEASEL}/"),
    *(f"/horses/{TEASEL}/readings.csv", f"/horses/{TEASEL}/readings.json", "/herd/months.csv"),
)


def words(client: Client, path: str, status: int = 403) -> str:
    """What a page says, once it was refused in words."""
    answer = client.get(path)
    assert answer.status_code == status, path
    assert answer["Content-Type"].startswith("text/html"), path
    return answer.content.decode()


def test_a_shut_account_is_told_so_by_pages_files_and_the_queue(database: str) -> None:
    maud, path = signing.signed_in("maud"), f"/horses/{TEASEL}/readings.csv"
    before = maud.get(path)
    # A file is answered whole or not at all: none is half written when an access ends.
    assert (before.status_code, before.streaming) == (200, False)
    User.objects.filter(id=cast.ref("maud")).update(is_active=False)
    for each in PAGES:
        assert SHUT in words(maud, each), each
    assert SHUT in maud.post("/settings/", {}).content.decode()
    sent = maud.post("/api/v1/assessments/batch/", b"{}", "application/json")
    assert (sent.status_code, SHUT in sent.json()["detail"]) == (401, True)
    assert "What waits on this phone is kept." in sent.json()["detail"]
    # A token of hers, and a session from before her password was another, are told nothing.
    assert "shut" not in Asker("maud").get("me/").json()["detail"]
    user = User.objects.get(id=cast.ref("maud"))
    user.set_password("seven wet ponies in a row")
    user.save(update_fields=["password"])
    assert maud.get("/").headers["Location"].startswith("/accounts/login/")


def test_an_auditor_s_page_asks_nothing_by_itself_and_the_next_click_says_so(
    database: str,
) -> None:
    """Each look of an auditor is entered, so none is made unasked; after the end there is none."""
    hollis = signing.signed_in("hollis")
    assert "data-live" not in hollis.get("/").content.decode()
    with as_somebody("isolde"):
        looks = Entry.objects.filter(verb="read").count()
        mine = Grant.objects.filter(ref=cast.ref("grant of hollis"))
        mine.update(until_at=datetime.now(UTC), issued_by=cast.ref("isolde"))
    for path in (*PAGES, "/desk/", f"/desk/horses/{TEASEL}/?on=2026-05-01"):
        assert "as was set when Isolde Kerr let you in" in words(hollis, path), path
    with as_somebody("isolde"):
        assert Entry.objects.filter(verb="read").count() == looks


def test_whoever_has_another_organisation_is_told_first_and_shown_the_way_there(
    inside: Any,
) -> None:
    with inside("isolde") as viewer:
        asked = {"person": "perran@example.org", "role": "assessor", "yards": "all"}
        made = grants.issue_grant(viewer, asked, now=datetime.now(UTC))
    perran = signing.signed_in("perran")
    perran.post("/organisations/", {"organisation": str(cast.ref(cast.QUILLET))})
    assert "Teasel" in perran.get("/horses/").content.decode()
    with as_somebody("isolde"):
        now, by = datetime.now(UTC), cast.ref("isolde")
        Grant.objects.filter(ref=made.ref).update(revoked_at=now, revoked_by=by)
    for path in (*PAGES, "/horses/"):
        page = words(perran, path)
        assert "Isolde Kerr ended it" in page, path
        assert 'href="/organisations/"' in page
    sent = perran.post("/api/v1/assessments/batch/", b"{}", "application/json")
    assert "Isolde Kerr ended it" in sent.json()["detail"], (
        "and so is what a phone sends, each time"
    )
    larchgill = str(cast.ref(cast.LARCHGILL))
    assert larchgill in perran.get("/organisations/").content.decode()
    assert perran.post("/organisations/", {"organisation": larchgill}).status_code == 303
    assert "Gorse" in perran.get("/horses/").content.decode()
