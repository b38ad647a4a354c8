"""What board, herd and visit say in words: felt or filtered, a step whose time passed, no use."""

import html
import re
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from typing import Any

from django.test import Client

from scoring.actions import assessments
from scoring.models import Alert, Standing
from scoring.pages import labels
from tests import cast, readings
from tests.conftest import as_somebody
from tests.pages.test_board import text
from yards.models import Horse

SignIn = Callable[[str], Client]


def row(page: str, name: str = "Teasel") -> str:
    return page.split(f'data-horse="{cast.ref(name)}"')[1].split("</tr>", maxsplit=1)[0]


def words(cell: str) -> str:
    return " ".join(html.unescape(re.sub(r"<[^>]*>", " ", cell)).split())


def cell(found: str, css: str) -> str:
    return words(found.split(f'class="{css}')[1].split("</td>", maxsplit=1)[0].partition(">")[2])


def scored(inside: Any) -> None:
    now = datetime.now(UTC)
    with inside("maud") as viewer:
        for days, score in ((60, "3"), (45, "3"), (30, "3"), (15, "3"), (1, "4")):
            at = now - timedelta(days=days)
            raw = readings.raw("Teasel", at, score, score, score)
            assessments.record_assessment(viewer, raw, now=at)


def test_what_was_felt_last_and_the_level_are_told_apart(signed_in: SignIn, inside: Any) -> None:
    scored(inside)
    found = row(text(signed_in("isolde"), "/"))
    with inside("isolde"):
        standing = Standing.objects.get(horse__ref=cast.ref("Teasel"))
    assert standing.level_high is not None
    assert standing.level_high < 4, "so that the number stands outside the range"
    assert cell(found, "co").startswith("4.00 felt last ")
    assert " to " not in cell(found, "co")
    span = f"({standing.level_low:.1f} to {standing.level_high:.1f})"
    assert f"Level by all readings {standing.level:.1f} {span}" in cell(found, "cr")


def acknowledged(by: timedelta) -> None:
    now = datetime.now(UTC)
    with as_somebody("isolde") as viewer:
        horse = Horse.objects.get(ref=cast.ref("Teasel"))
        Standing.objects.filter(horse=horse).update(
            score_due_at=now + timedelta(days=9), weight_due_at=now + timedelta(days=9)
        )
        Alert.objects.create(
            organisation_id=viewer.organisation,
            ref=cast.ref("an alert"),
            horse=horse,
            yard_id=horse.yard_id,
            rule="losing_score",
            severity="watch",
            state="acknowledged",
            opened_at=now - timedelta(days=20),
            seen_at=now - timedelta(days=20),
            said={
                "reason": ["risk_spring", {}],
                "evidence": [],
                "advice": ["look_again_soon", {}],
                "what_not_to_do": ["never_starve", {}],
            },
            acknowledged_at=now - timedelta(days=19),
            acknowledged_by_id=cast.ref("isolde"),
            next_step="Look again",
            next_step_by=now + by,
        )


def test_the_board_and_the_horses_page_say_the_same(signed_in: SignIn, inside: Any) -> None:
    now = datetime.now(UTC)
    with inside("maud") as viewer:
        for days, back in ((60, "3"), (30, "3"), (1, "3.5")):
            at = now - timedelta(days=days)
            raw = readings.raw("Teasel", at, "3", back, "3")
            assessments.record_assessment(viewer, raw, now=at)
    acknowledged(timedelta(days=-3))
    with inside("isolde"):
        Standing.objects.filter(horse__ref=cast.ref("Teasel")).update(
            score_due_at=now - timedelta(days=2), weight_due_at=now + timedelta(days=9)
        )
    client = signed_in("isolde")
    found = row(text(client, "/"))
    page = text(client, f"/horses/{cast.ref('Teasel')}/")
    stands = words(page[page.index('id="stands"') : page.index('id="chart"')])
    # An overall beyond the band's edge stands within it by its nearest half, and that is said.
    assert cell(found, "co") == "3.17 felt last Within target band, by the nearest half: 3"
    assert "3.17 Felt last, overall of one hand" in stands
    assert "Within target band, by the nearest half: 3 Target band 2 to 3" in stands
    level = re.search(r"Level by all readings (\d\.\d) \(", cell(found, "cr"))
    assert level is not None
    assert f"{level[1]} Level by all readings, 80% range" in stands
    overdue = "Score overdue 2\N{NO-BREAK SPACE}days"
    assert cell(found, "cd") == overdue.replace("\N{NO-BREAK SPACE}", " ")
    assert overdue in html.unescape(page)
    assert re.search(r"Weigh by \w+ \d", stands)
    card = page.split('class="card watch')[1].split("</h2>")[0]
    assert cell(found, "ca").startswith("Step passed ")
    assert "Step passed" in card


def test_what_is_due_is_named() -> None:
    on = datetime(2026, 12, 1, tzinfo=UTC).date()
    for what, said in (("score", "Score"), ("weight", "Weigh"), ("check", "Look")):
        told = labels.due("not_due", on, -5, what)
        assert told.replace("\N{NO-BREAK SPACE}", " ") == f"{said} by Tue 1 Dec"
        assert labels.due("due", on, 0, what) == f"{said} today"
    assert labels.due("overdue", on, 1, "weight") == "Weight overdue 1\N{NO-BREAK SPACE}day"


def test_a_step_whose_time_passed_is_to_be_decided_and_says_so(signed_in: SignIn) -> None:
    client = signed_in("isolde")
    acknowledged(timedelta(days=-3))
    page = text(client, "/")
    group = page.split('<tbody role="rowgroup" class="g decide">')[1].split("</tbody>")[0]
    on = datetime.now(UTC) - timedelta(days=3)
    told = cell(row(group), "ca")
    assert told.startswith("Step passed ")
    assert f"Next step was due by {on.day} {on:%b}: decide" in told
    assert "or a next step whose time passed" in words(group)
    assert f"Next step was due by {on.day} {on:%b}: decide" in text(client, "/wall/")
    visit = text(client, "/visit/").split('id="work-decide"')[1].split("</section>")[0]
    assert "Step passed" in words(visit)


def test_a_step_whose_time_is_to_come_is_on_a_care_plan(signed_in: SignIn) -> None:
    acknowledged(timedelta(days=3))
    page = text(signed_in("isolde"), "/")
    group = page.split('<tbody role="rowgroup" class="g watched">')[1].split("</tbody>")[0]
    told = cell(row(group), "ca")
    assert told.startswith("Acknowledged ")
    assert "Next step was due" not in page


def test_where_nobody_said_the_use_that_is_told_everywhere(signed_in: SignIn, inside: Any) -> None:
    scored(inside)
    with inside("isolde"):
        Horse.objects.filter(ref=cast.ref("Teasel")).update(is_unknown=True, use="leisure")
    client, told = signed_in("isolde"), "use not known: band as for leisure, to be set"
    assert told in words(row(text(client, "/")))
    herd = next(each for each in text(client, "/herd/").split("<tr>") if ">Teasel<" in each)
    assert told in words(herd)
    visit = words(text(client, "/visit/")).split("Teasel")
    assert any(each.lstrip(", ").casefold().startswith(told) for each in visit)
    page = words(text(client, f"/horses/{cast.ref('Teasel')}/"))
    assert "Target band 2 to 3, as for leisure: its use is not known" in page
    with inside("isolde"):
        Horse.objects.filter(ref=cast.ref("Teasel")).update(use="athlete")
    assert "use not known" not in text(client, "/")


def test_letters_of_regions_are_spelled_out_and_days_keep_to_their_number(
    signed_in: SignIn, inside: Any
) -> None:
    with inside("isolde"):
        Standing.objects.filter(horse__ref=cast.ref("Teasel")).update(
            score_due_at=datetime.now(UTC) - timedelta(days=11),
            weight_due_at=datetime.now(UTC) + timedelta(days=9),
        )
    page = text(signed_in("isolde"), "/")
    assert "N neck and shoulder, B back and ribs, H hindquarters" in page
    assert "Score overdue 11\N{NO-BREAK SPACE}days" in page
