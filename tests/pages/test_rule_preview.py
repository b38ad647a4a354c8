"""A preview of a rule: back and reload show it, places are kept, and who would still be told of."""

import re
from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime
from typing import Any

import pytest
from django.test import Client

from scoring.pages import rule_forms
from scoring.queries import rule_limits
from scoring.queries.replaying import Count, Preview
from scoring.rules import threshold
from tests import cast
from tests.pages import test_rules as pages

SignIn = Callable[[str], Client]
PATH = "/rules/above_band/"
ASKED = {"thresholds.five.above_high_edge": "0.5", "reason": "Our vet asks for it"}
fat = pages.fat
NONE = Count(0, 0, 0)
BEGAN = datetime(2026, 1, 1, tzinfo=UTC)
PREVIEW = Preview(BEGAN, BEGAN, NONE, NONE, [], [], [], 1, 1, has_spring=False)


def preview(client: Client, path: str, asked: dict[str, str]) -> str:
    """The address that the first press leads to."""
    answer = client.post(path, pages.typed(client, path, **asked))
    assert answer.status_code == 303
    return str(answer["Location"])


def test_a_preview_has_an_address_that_shows_it_again(signed_in: SignIn, fat: None) -> None:
    client = signed_in("isolde")
    where = preview(client, PATH, ASKED)
    assert where.endswith("#preview")
    for _ in "again":
        page = client.get(where.partition("#")[0])
        assert "So set, it would have told No alerts" in pages.text(page)
        assert 'value="Our vet asks for it"' in page.content.decode()
    # Whoever may not change the rule is shown the rule, and what is wrong is said there too.
    assert "So set" not in pages.text(signed_in("maud").get(where.partition("#")[0]))
    wrong = client.get(f"{PATH}?see=1&thresholds.five.above_high_edge=9.5&version=1")
    assert wrong.status_code == 422


def test_the_first_press_keeps_its_place_and_saving_stands_after_it(
    signed_in: SignIn, fat: None
) -> None:
    client = signed_in("isolde")
    presses = r'<button class="btn[^"]*" type="submit"[^>]*>([^<]+)</button>'
    first = re.findall(presses, client.get(PATH).content.decode())
    then = re.findall(presses, client.get(preview(client, PATH, ASKED)).content.decode())
    assert then[: len(first)] == first
    assert then[len(first) :] == ["Save this change"]


def test_it_says_of_each_horse_whether_another_rule_tells_of_it(
    signed_in: SignIn, fat: None
) -> None:
    client = signed_in("isolde")
    page = pages.text(client.get(preview(client, PATH, ASKED)))
    assert "No longer told of by this rule Teasel : told by no rule of this kind any more" in page
    still = rule_forms.told(
        replace(
            PREVIEW, fewer=[(cast.ref("Teasel"), "Teasel")], still={cast.ref("Teasel"): ["fat"]}
        ),
        "",
    )
    assert still.fewer == [(cast.ref("Teasel"), "Teasel", "still told by “fat”")]


def test_fat_and_fat_in_spring_say_of_each_other_that_each_has_its_own_thresholds(
    signed_in: SignIn,
) -> None:
    client = signed_in("isolde")
    for rule, other in (("fat", "fat_in_spring"), ("fat_in_spring", "fat")):
        page = client.get(f"/rules/{rule}/")
        assert "It has thresholds of its own, and a change here leaves them" in pages.text(page)
        assert f'href="/rules/{other}/">Read that rule' in page.content.decode()
    asked = {"thresholds.five.overall": "3.5", "reason": "Our vet asks for it"}
    where = preview(client, "/rules/fat/", asked).partition("#")[0]
    shown = pages.text(client.get(where))
    assert "So set, it would have told" in shown
    assert "It has thresholds of its own" in shown


@pytest.mark.parametrize("rule", ["emaciated", "losing_fast", "fat", "never_scored"])
def test_a_field_says_why_it_goes_no_further(signed_in: SignIn, rule: str) -> None:
    page = pages.text(signed_in("isolde").get(f"/rules/{rule}/"))
    for row in threshold.rule(rule)["thresholds"]:
        assert rule_limits.why(rule, row) in page


def test_limits_are_said_by_the_side_that_they_are_on() -> None:
    rows: dict[str, Any] = {
        name: threshold.rule(name)["thresholds"][0] for name in ("emaciated", "fat", "losing_fast")
    }
    assert "No later than 1.0: this rule protects life" in rule_limits.why(
        "emaciated", rows["emaciated"]
    )
    assert "No later than 4.5" in rule_limits.why("fat", rows["fat"])
    assert "No sooner than 3.5" in rule_limits.why("fat", rows["fat"])
    assert "No later than 15%: that is where the source draws the line." in rule_limits.why(
        "losing_fast", rows["losing_fast"]
    )


def test_an_exception_is_previewed_in_its_address_and_lasts_to_the_end_of_its_day(
    signed_in: SignIn, fat: None
) -> None:
    client, path = signed_in("keziah"), f"/rules/above_band/horses/{cast.ref('Teasel')}/"
    asked = {"on": "false", "until": "2027-03-01", "reason": "On a signed plan"}
    where = preview(client, path, asked)
    page = client.get(where)
    assert "So set, it would have told No alerts" in pages.text(page)
    assert 'type="date" name="until" id="until" value="2027-03-01"' in page.content.decode()
