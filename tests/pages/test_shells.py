"""What a phone may keep holds nobody's data, and is of one version with what it is made of."""

import json
import re
import struct

import pytest
from django.contrib.staticfiles import finders
from django.test import Client

from scoring.pages import shells
from tests import cast
from yards.models import User

PATHS = [shell.path for shell in shells.ALL]
NAMES = (
    *cast.HORSES,
    *cast.YARDS,
    *cast.ORGANISATIONS,
    *(each.name for each in cast.PEOPLE),
    *cast.VET.values(),
)


def signed_in(key: str) -> Client:
    client = Client()
    client.force_login(User.objects.get(id=cast.ref(key)))
    return client


@pytest.mark.parametrize("path", PATHS)
def test_a_shell_holds_nobody_s_data(database: str, path: str) -> None:
    told = signed_in("isolde").get(path).content.decode()
    assert [name for name in NAMES if name in told] == []
    assert [key for key in map(str, map(cast.ref, NAMES)) if key in told] == []
    assert "csrfmiddlewaretoken" not in told
    assert "data-person" not in told
    assert signed_in("perran").get(path).content.decode() == told
    assert Client().get(path).content.decode() == told


FORMS = [shell.path for shell in shells.ALL if shell.scale or shell.name == shells.UNKNOWN]


@pytest.mark.parametrize("path", FORMS)
def test_a_form_that_only_a_script_can_send_is_not_sent_without_one(
    database: str, path: str
) -> None:
    told = signed_in("isolde").get(path).content.decode()
    form = told[told.index("data-words=") : told.rindex("</form>")]
    buttons = re.findall(r"<button[^>]*type=\"submit\"[^>]*>", form)
    assert buttons
    assert all("disabled" in each for each in buttons)
    [said] = re.findall(r"<noscript>.*?href=\"(.*?)\".*?</noscript>", form)
    assert signed_in("isolde").get(said).status_code == 200


def kept(client: Client) -> tuple[dict[str, object], str]:
    """What the service worker says it keeps, and its whole text."""
    answer = client.get("/sw.js")
    assert answer["Content-Type"] == "text/javascript; charset=utf-8"
    assert "no-cache" in answer["Cache-Control"]
    body = answer.content.decode()
    found = re.search(r"halfpointServe\((.*)\);", body)
    assert found is not None
    facts: dict[str, object] = json.loads(found[1])
    return facts, body


def test_the_worker_keeps_the_shells_and_no_page_of_a_horse(database: str) -> None:
    facts, body = kept(signed_in("maud"))
    assert [*facts["shells"], facts["away"]] == PATHS  # type: ignore[misc]
    files = facts["files"]
    assert isinstance(files, list)
    assert all(each.startswith(("/static/yards/", "/static/scoring/")) for each in files)
    assert body.startswith('import "/static/scoring/round/serving.js";')
    plain = Client().get("/sw.js?plain").content.decode()
    assert plain.startswith('importScripts("/static/scoring/round/serving.js");')
    assert "import " not in plain


def test_other_units_are_another_version(database: str) -> None:
    before, _ = kept(signed_in("maud"))
    User.objects.filter(id=cast.ref("maud")).update(weight_unit="lb")
    after, _ = kept(signed_in("maud"))
    assert after["version"] != before["version"]
    assert kept(signed_in("tobias"))[0]["version"] == before["version"]


def test_the_manifest_s_icons_are_there_in_their_sizes(database: str) -> None:
    answer = Client().get("/manifest.webmanifest")
    assert answer["Content-Type"] == "application/manifest+json"
    icons = answer.json()["icons"]
    assert {each.get("purpose") for each in icons} == {None, "any", "maskable"}
    for each in icons:
        path = finders.find(each["src"].removeprefix("/static/"))
        assert isinstance(path, str)
        with open(path, "rb") as file:
            start = file.read(24)
        if each["type"] == "image/png":
            wide, high = struct.unpack(">II", start[16:24])
            assert each["sizes"] == f"{wide}x{high}"
        else:
            assert start.startswith(b"<svg")
