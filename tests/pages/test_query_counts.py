"""Every page that lists costs as many queries for twenty rows as for ten.

A page that lists gets a row in ``PAGES``: its path, who looks, and what makes one more row of it.
"""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from tests import cast, photos
from tests.api.asking import Asker
from tests.conftest import viewer_of
from tests.doors.scene import assessment, exception, weighing
from yards import isolation
from yards.actions import tokens
from yards.pages import words

TOP_BARN, TEASEL = str(cast.ref("Top Barn")), str(cast.ref("Teasel"))
STRAY = str(cast.ref("stray"))


def scored_horse(n: int) -> str:
    """A horse at Top Barn that somebody scored and weighed; return its name."""
    return _scored(f"Listed {n}")


def alarming_horse(n: int) -> str:
    """A horse with an open alert; return its name."""
    return _scored(f"Listed {n}", danger_signs=["not_eating"])


def _scored(name: str, **facts: Any) -> str:
    isolde = Asker("isolde")
    horse = isolde.post("horses/", {"name": name, "yard": TOP_BARN, "species": "horse"})
    weighed = {"method": "estimate", "weight_kg": "440"}
    made = isolde.post("assessments/", assessment(horse.json()["id"], weighing=weighed, **facts))
    assert made.status_code == 201, made.content
    return name


def grant(n: int) -> str:
    """Somebody let in to a yard and for a horse; return their name."""
    sent = {"person": f"listed{n}@example.org", "name": f"Listed {n}", "role": "assessor"}
    scope = {"yards": [TOP_BARN], "horses": [str(cast.ref("Marram"))]}
    made = Asker("isolde").post("grants/", {**sent, **scope})
    assert made.status_code == 201, made.content
    return f"Listed {n}"


def ended_grant(n: int) -> str:
    """Somebody let in and out again; return the reason."""
    sent = {"person": f"listed{n}@example.org", "name": f"Listed {n}", "role": "assessor"}
    isolde = Asker("isolde")
    made = isolde.post("grants/", {**sent, "yards": [TOP_BARN]})
    reason = f"Left in week {n}"
    ended = isolde.post(f"grants/{made.json()['id']}/revoke/", {"reason": reason})
    assert ended.status_code == 200, ended.content
    return reason


def reading(n: int) -> str:
    """A score of Teasel, with its weight and a photo; return its hour as the lists show it."""
    taken = datetime.now(UTC) - timedelta(days=1, hours=n)
    weighed = {"method": "estimate", "weight_kg": f"{440 + n}"}
    sent = assessment(TEASEL, taken_at=taken.isoformat(), weighing=weighed)
    made = Asker("isolde").post("assessments/", sent)
    assert made.status_code == 201, made.content
    shot = Asker("isolde").post("photos/", photos.form("assessment", made.json()["id"]))
    assert shot.status_code == 201, shot.content
    return words.at(taken, "Europe/London")


def weight(n: int) -> str:
    """A weight of Teasel by a tape; return it as the list shows it."""
    tape = Asker("isolde").post("instruments/", {"kind": "weigh_tape", "label": f"Tape {n}"})
    used = {"method": "weigh_tape", "instrument": tape.json()["id"], "weight_kg": f"{440 + n}"}
    made = Asker("isolde").post("weighings/", weighing(TEASEL, **used))
    assert made.status_code == 201, made.content
    return f"{440 + n} kg"


def instrument(n: int) -> str:
    """A weigh tape; return its label."""
    made = Asker("isolde").post("instruments/", {"kind": "weigh_tape", "label": f"Tape {n}"})
    assert made.status_code == 201, made.content
    return f"Tape {n}"


def gone_horse(n: int) -> str:
    """A horse that came and was rehomed; return its name."""
    isolde = Asker("isolde")
    sent = {"name": f"Listed {n}", "yard": TOP_BARN, "species": "horse"}
    horse = isolde.post("horses/", sent).json()
    went = isolde.patch(f"horses/{horse['id']}/", {"status": "rehomed", "version": 1})
    assert went.status_code == 200, went.content
    return f"Listed {n}"


def resolved_alert(n: int) -> str:
    """An alert that the vet resolved; return its horse's name."""
    name, keziah = alarming_horse(n), Asker("keziah")
    # Those of the horses before it are resolved already.
    [alert] = keziah.get("alerts/?state=open").json()["results"]
    said = {"reason": "Seen by the vet", "vet_said": "Sound, eating again"}
    closed = keziah.post(f"alerts/{alert['id']}/resolve/", said)
    assert closed.status_code == 200, closed.content
    return name


def asked(n: int) -> str:
    """A question about Teasel, every other one answered before; return the open one's words."""
    isolde, path = Asker("isolde"), f"horses/{TEASEL}/questions/"
    made = isolde.post(path, {"text": f"Answered {n}?"})
    done = Asker("keziah").post(f"questions/{made.json()['id']}/answer/", {"text": "Yes"})
    assert done.status_code == 200, done.content
    made = isolde.post(path, {"text": f"Asked {n}?"})
    assert made.status_code == 201, made.content
    return f"Asked {n}?"


def noted(n: int) -> str:
    """A clinical note of Teasel and its correction; return the newer's words."""
    keziah = Asker("keziah")
    made = keziah.post(f"horses/{TEASEL}/clinical-notes/", {"text": f"Noted {n}"})
    better = {"text": f"Noted better {n}", "reason": "Misheard"}
    done = keziah.post(f"clinical-notes/{made.json()['id']}/correct/", better)
    assert done.status_code == 201, done.content
    return f"Noted better {n}"


def token(n: int) -> str:
    """A phone's token of Maud's; return its label."""
    raw = {"label": f"Phone {n}", "device": True, "person": str(cast.ref("maud"))}
    viewer = viewer_of("isolde")
    with isolation.of(viewer):
        tokens.issue_token(viewer, raw, now=datetime.now(UTC))
    return f"Phone {n}"


def yard(n: int) -> str:
    """A yard; return its name."""
    sent = {"name": f"Listed {n}", "time_zone": "Europe/London", "hemisphere": "north"}
    made = Asker("isolde").post("yards/", sent)
    assert made.status_code == 201, made.content
    return f"Listed {n}"


def excepted_horse(n: int) -> str:
    """A horse with an exception to a rule; return its name."""
    isolde = Asker("isolde")
    sent = {"name": f"Listed {n}", "yard": TOP_BARN, "species": "horse"}
    horse = isolde.post("horses/", sent).json()["id"]
    made = isolde.post("rule-exceptions/", {**exception(horse), "rule": "fat"})
    assert made.status_code == 201, made.content
    return f"Listed {n}"


def absence(n: int) -> str:
    """Somebody away; return why."""
    until = (datetime.now(UTC) + timedelta(days=n + 1)).isoformat()
    made = Asker("maud").post("absences/", {"until": until, "reason": f"Away {n}"})
    assert made.status_code == 201, made.content
    return f"Away {n}"


def stray() -> None:
    """An animal that nobody knows yet."""
    sent = {"name": "Stray", "yard": TOP_BARN, "species": "horse", "is_unknown": True}
    made = Asker("isolde").post("horses/", {**sent, "id": STRAY})
    assert made.status_code == 201, made.content


@dataclass(frozen=True)
class Page:
    """A page that lists. ``one_more`` makes its n-th row and returns a text that shows there."""

    path: str
    one_more: Callable[[int], str]
    looked_at_by: str = "isolde"
    first: Callable[[], None] | None = None  # what the page itself needs


PAGES = (
    Page("/", scored_horse),
    Page("/", alarming_horse),
    Page("/", scored_horse, "maud"),
    Page("/", scored_horse, "hollis"),
    Page(f"/?yard={TOP_BARN}", alarming_horse, "tobias"),
    Page("/wall/", alarming_horse),
    Page("/alerts/", alarming_horse),
    Page("/alerts/", alarming_horse, "keziah"),
    Page("/alerts/?state=resolved", resolved_alert, "keziah"),
    Page("/visit/", scored_horse, "keziah"),
    Page("/visit/", alarming_horse),
    Page("/visit/", asked, "keziah"),
    Page(f"/horses/{TEASEL}/questions/", asked, "maud"),
    Page(f"/horses/{TEASEL}/notes/", noted, "keziah"),
    Page(f"/horses/{TEASEL}/", asked, "keziah"),
    Page("/horses/", scored_horse),
    Page("/horses/?state=gone", gone_horse),
    Page("/round/", yard),
    Page(f"/round/{TOP_BARN}/", scored_horse, "maud"),
    Page(f"/round/{TOP_BARN}/?first=due", alarming_horse, "tobias"),
    Page(f"/round/{TOP_BARN}/order/", scored_horse, "maud"),
    Page(f"/horses/{TEASEL}/readings/", reading),
    Page(f"/horses/{TEASEL}/weights/", weight),
    Page(f"/horses/{TEASEL}/weigh/", instrument),
    Page(f"/horses/{STRAY}/identify/", scored_horse, first=stray),
    Page("/people/add/", scored_horse),
    Page("/people/", grant),
    Page("/people/?state=over", ended_grant),
    Page("/tokens/", token),
    Page("/tokens/", token, "maud"),
    Page("/yards/", yard),
    Page("/rules/fat/", excepted_horse),
    Page("/rules/fat/", excepted_horse, "keziah"),
    Page("/away/", absence),
    Page("/away/", absence, "maud"),
    Page("/record/?group=scores", scored_horse),
    Page("/record/?group=people", grant, "keziah"),
)


MAKERS = {
    page.one_more: [each for each in PAGES if each.one_more is page.one_more] for page in PAGES
}


def queries(client: Client, page: Page, names: list[str]) -> int:
    """How many queries a page costs that shows those rows."""
    with CaptureQueriesContext(connection) as seen:
        answer = client.get(page.path)
    assert answer.status_code == 200
    shown = answer.content.decode()
    assert [name for name in names if name not in shown] == [], page
    return len(seen)


@pytest.mark.parametrize("one_more", MAKERS, ids=lambda each: each.__name__)
def test_twenty_rows_cost_as_many_queries_as_ten(
    signed_in: Callable[[str], Client], one_more: Callable[[int], str]
) -> None:
    """The rows are made once for all pages that show them, since to make them costs the most."""
    pages = MAKERS[one_more]
    for page in pages:
        if page.first is not None:
            page.first()
    clients = [signed_in(page.looked_at_by) for page in pages]
    for page, client in zip(pages, clients, strict=True):
        client.get(page.path)  # the session takes note of its organisation once
    counted = []
    for upto in (10, 20):
        names = [one_more(n) for n in range(upto - 10, upto)]
        looks = zip(pages, clients, strict=True)
        counted.append({page: queries(client, page, names) for page, client in looks})
    assert counted[0] == counted[1]
