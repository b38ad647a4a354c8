"""All readings of a horse as files, harmless to a spreadsheet; photos of two days side by side."""

import csv
import io
from datetime import datetime, timedelta
from typing import Any

from tests import cast, photos
from tests.api.asking import Asker
from tests.outside import COMMON_PRACTICE, outside
from tests.pages.test_horse_chart import TEASEL, SignIn, at, scored, weighed
from tests.pages.test_horse_pages import text


def test_two_photos_stand_side_by_side(signed_in: SignIn, inside: Any) -> None:
    kept = []
    for day in ("2026-04-12T09:40:00Z", "2026-09-12T09:40:00Z", "2026-10-12T09:40:00Z"):
        form = photos.form("horse", cast.ref("Teasel"), taken_at=day)
        made = Asker("maud").post("photos/", form)
        assert made.status_code == 201, made.content
        kept.append(made.json()["id"])
    client = signed_in("isolde")
    page = text(client, TEASEL)
    pair = page.split('id="pair"')[1].split("</section>")[0]
    assert [each in pair.split('<div class="pair">')[1] for each in kept] == [True, False, True]
    chosen = text(client, f"{TEASEL}?window=2y&one={kept[1]}&two={kept[0]}")
    shown = chosen.split('<div class="pair">')[1].split("</section>")[0]
    assert shown.index(kept[1]) < shown.index(kept[0])
    assert '<input type="hidden" name="window" value="2y">' in chosen


@outside(
    "a cell that begins with =, +, -, @, a tab or a return may be run as a formula",
    source="OWASP, CSV injection",
    status=COMMON_PRACTICE,
)
def test_a_file_of_all_readings_runs_no_formula(signed_in: SignIn, inside: Any) -> None:
    evil = '=HYPERLINK("https://example.org","x")'
    scored(inside, 10, "3", note=evil)
    weighed(inside, 9, "440.5", method="weighbridge", measures={"girth_cm": "181"})
    answer = signed_in("isolde").get(f"{TEASEL}readings.csv")
    assert answer["Content-Type"] == "text/csv; charset=utf-8"
    assert answer["Content-Disposition"] == 'attachment; filename="Teasel.csv"'
    rows = list(csv.DictReader(io.StringIO(answer.content.decode("utf-8-sig"))))
    assert [each["reading"] for each in rows] == ["score", "weight"]
    assert rows[0]["note"] == "'" + evil
    assert (rows[0]["overall"], rows[0]["in_the_trend"]) == ("3.00", "yes")
    assert (rows[1]["weight_kg"], rows[1]["heart_girth_cm"]) == ("440.5", "181")
    same = signed_in("isolde").get(f"{TEASEL}readings.json").json()
    assert same["readings"][0]["note"] == evil
    assert [each["id"] for each in same["readings"]] == [each["id"] for each in rows]
    assert abs(datetime.fromisoformat(rows[0]["at"]) - at(10)) < timedelta(minutes=2)
    assert rows[0]["time_zone"] == "Europe/London"
