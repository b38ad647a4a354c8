"""Photos on a horse's pages: small, in words, beside the reading that they were taken of."""

import html
import re
from collections.abc import Callable

from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from tests import cast, photos
from tests.api.asking import Asker
from tests.doors.scene import ago, assessment

SignIn = Callable[[str], Client]
TEASEL = str(cast.ref("Teasel"))


def kept(of: str, ref: str, side: str = "left") -> str:
    made = Asker("maud").post("photos/", photos.form(of, ref, side=side))
    assert made.status_code == 201, made.content
    return str(made.json()["id"])


def shown(client: Client, path: str) -> dict[str, str]:
    """The alternative text of each photo of a page, by the photo's address."""
    page = client.get(path).content.decode()
    found = re.findall(r'<a href="([^"]+)"><img src="([^"]+)" alt="([^"]+)"', page)
    assert all(leads_to == src for leads_to, src, _ in found)
    return {src: html.unescape(alt) for _, src, alt in found}


def test_a_readings_photos_stand_beside_it_in_words_too(signed_in: SignIn) -> None:
    maud = Asker("maud")
    scored = maud.post("assessments/", assessment(TEASEL)).json()["id"]
    dull = {"seen_at": ago(hours=1), "note": "Dull"}
    seen = maud.post(f"horses/{TEASEL}/concerns/", dull).json()["id"]
    refs = {
        "left side": kept("assessment", scored),
        "from behind": kept("assessment", scored, side="rear"),
        "right side": kept("concern", seen, side="right"),
        "a mark": kept("horse", TEASEL, side="mark"),
    }
    for caller in ("isolde", "keziah", "hollis"):
        found = shown(signed_in(caller), f"/horses/{TEASEL}/")
        assert found == {
            f"/api/v1/photos/{ref}/image/": f"Teasel, {side}, 12 Apr 2026, 10:40"
            for side, ref in refs.items()
        }
    listed = shown(signed_in("maud"), f"/horses/{TEASEL}/readings/")
    assert len(listed) == 2
    for caller in ("keziah", "hollis"):
        found = shown(signed_in(caller), f"/assessments/{scored}/")
        assert set(found.values()) == {
            f"Teasel, {side}, 12 Apr 2026, 10:40" for side in ("left side", "from behind")
        }


def test_what_it_shows_and_when_is_read_below_each_photo(signed_in: SignIn) -> None:
    kept("horse", TEASEL, side="mark")
    page = signed_in("hollis").get(f"/horses/{TEASEL}/").content.decode()
    assert "A mark, 12 Apr 2026, 10:40</small>" in page


def test_the_page_s_own_session_fetches_the_image_and_nobody_else_s(signed_in: SignIn) -> None:
    path = f"/api/v1/photos/{kept('horse', TEASEL)}/image/"
    assert signed_in("maud").get(path)["Content-Type"] == "image/jpeg"
    assert signed_in("perran").get(path).status_code == 404
    assert Client().get(path).status_code == 401


def test_a_horse_without_photos_has_no_place_for_them(signed_in: SignIn) -> None:
    page = signed_in("maud").get(f"/horses/{TEASEL}/").content.decode()
    assert "<img" not in page
    assert "Photos" not in page


def test_no_page_and_no_answer_reads_an_image_but_the_image_s_own(signed_in: SignIn) -> None:
    scored = Asker("maud").post("assessments/", assessment(TEASEL)).json()["id"]
    ref = "0193b0de-0000-7000-8000-00000000000b"
    sent = photos.form("assessment", scored, id=ref)
    assert Asker("maud").post("photos/", sent).status_code == 201
    kept("horse", TEASEL)
    client = signed_in("isolde")
    pages = (f"/horses/{TEASEL}/", f"/horses/{TEASEL}/readings/", f"/assessments/{scored}/")
    with CaptureQueriesContext(connection) as asked:
        for path in (*pages, f"/api/v1/photos/{ref}/"):
            assert client.get(path).status_code == 200
        assert Asker("maud").post("photos/", sent).status_code == 200
    told = [each["sql"] for each in asked.captured_queries]
    assert any('"scoring_photo"."sent_sha256"' in each for each in told)
    assert not [each for each in told if '"scoring_photo"."image"' in each]
    with CaptureQueriesContext(connection) as asked:
        assert client.get(f"/api/v1/photos/{ref}/image/").status_code == 200
    assert any("image" in each["sql"] for each in asked.captured_queries)
