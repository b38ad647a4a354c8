"""What was done to a horse is said on the page that it leads back to, to whoever did it."""

import re
from collections.abc import Callable

import uuid_utils.compat as uuid_utils
from django.test import Client

from tests import cast
from tests.pages.test_horse_pages import local, text

SignIn = Callable[[str], Client]


def said(client: Client, path: str) -> str:
    """Return what a page says was just done, without its time; nothing where it says nothing."""
    page = re.sub("[\u2068\u2069]", "", text(client, path))
    found = re.search(r'id="said"[^>]*><strong>Saved at \d\d:\d\d\. ([^<]*)</strong>', page)
    return found[1] if found else ""


def test_a_horse_that_was_added_moved_or_changed_says_so(signed_in: SignIn) -> None:
    client, ref = signed_in("isolde"), str(uuid_utils.uuid7())
    horse, sallow = f"/horses/{ref}/", str(cast.ref("Sallow Field"))
    new = {"id": ref, "name": "Sedge", "species": "horse", "yard": str(cast.ref("Top Barn"))}
    for form, sent, told in (
        ("/horses/add/", new, "Sedge is on record now, in Top Barn."),
        (
            f"{horse}facts/",
            {"name": "Sedge", "version": "1", "use": "retired"},
            "What you changed of Sedge is kept.",
        ),
        (
            f"{horse}move/",
            {"yard": sallow, "at": local(minutes=-2)},
            "Sedge stands in Sallow Field",
        ),
    ):
        answer = client.post(form, sent)
        assert answer.status_code == 303, answer.content.decode()
        assert said(client, answer.headers["Location"]).startswith(told)
    assert said(signed_in("keziah"), f"{horse}?saved=moved.{ref}") == "", "somebody else did it"
    assert said(client, f"{horse}?saved=moved.{cast.ref('Teasel')}") == "", "nobody moved that one"
