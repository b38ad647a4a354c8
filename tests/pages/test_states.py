"""Pages with nothing on them, and with names that are long or run the other way: none is bare,
broken or a dead end, whoever looks.
"""

import re
import unicodedata
from collections import Counter
from collections.abc import Iterator
from typing import Any
from urllib.parse import parse_qs, urljoin

import pytest
from django.test import Client, RequestFactory
from django.urls import Resolver404, resolve, reverse

from scoring.rules import risk
from tests import cast, copies
from tests.pages import states
from yards.models import User
from yards.pages import screen

NO_YARD, NO_HORSE = "Bare Fell Ponies", "Empty Stalls"
# Of one kind, followed by one role: together the four follow more than there are rules.
MOST = 6
_ISOLATED = re.compile("\u2068[^\u2069]*\u2069")


@pytest.fixture(scope="module")
def there(template: str, django_db_blocker: Any) -> Iterator[dict[str, str]]:
    """Three organisations, made once, and the ids of what the third holds."""
    with copies.cloned(template) as name, django_db_blocker.unblock(), copies.at(name):
        states.make(NO_YARD)
        states.make(NO_HORSE, ("Only Yard",))
        states.make(states.ORGANISATION, states.YARDS, states.HORSES)
        yield states.touch()


def leading(seen: dict[str, set[str]]) -> Iterator[tuple[str, str, str]]:
    """Each link that leads on within our pages: where it stands, how, and the address it names."""
    for page, links in seen.items():
        for href in sorted(links):
            path = urljoin(page, href).partition("#")[0]
            if href.startswith("#") or not path.startswith("/"):
                continue
            if not path.startswith(("/accounts/logout", "/api/")):
                yield page, href, path


def kind(path: str) -> tuple[str, frozenset[str]]:
    """What an address is of: its route, and what it asks for beside."""
    plain, _, query = path.partition("?")
    try:
        return resolve(plain).view_name, frozenset(parse_qs(query))
    except Resolver404:
        return path, frozenset()


def followed(
    client: Client, seen: dict[str, set[str]], known: dict[str, int], opened: set[str]
) -> list[str]:
    """The links of pages that do not open, each asked for once.

    Of each kind one is asked for, and of the others some that nobody opened before: we take it that
    no page of a rule, a person or an entry is a dead end for one role alone.
    """
    dead, met = [], Counter[tuple[str, frozenset[str]]]()
    for page, href, path in leading(seen):
        if path not in known:
            of_kind = kind(path)
            if met[of_kind] and (path in opened or met[of_kind] == MOST):
                continue
            met[of_kind] += 1
            opened.add(path)
            known[path] = client.get(path).status_code
        if known[path] != 200:
            dead.append(f"{page} leads to {href}: {known[path]}")
    return dead


@pytest.mark.parametrize("organisation", [NO_YARD, NO_HORSE])
def test_an_empty_organisation_has_no_dead_end(there: dict[str, str], organisation: str) -> None:
    opened = set[str]()
    for role in states.ROLES:
        client, seen, known = states.client(organisation, role), {}, dict[str, int]()
        for row, path in states.pages_of({}):
            answer = client.get(path)
            known[path] = answer.status_code
            assert answer.status_code == states.expected(row, role), f"{path} for {role}"
            if answer.status_code == 200 and answer["Content-Type"].startswith("text/html"):
                page = states.Reading(answer.content.decode())
                assert page.own or page.forms, f"{path} is a dead end for {role}"
                seen[path] = page.links
        assert len(seen) > 15
        assert followed(client, seen, known, opened) == [], role
    assert {reverse("scoring:rule", args=[rule]) for rule in risk.RULES} <= opened


@pytest.mark.parametrize(
    ("organisation", "role", "path", "onward"),
    [
        (NO_YARD, "coordinator", "/", "/yards/add/"),
        (NO_YARD, "coordinator", "/horses/", "/yards/add/"),
        (NO_YARD, "coordinator", "/round/", "/yards/add/"),
        (NO_YARD, "coordinator", "/due/", "/yards/add/"),
        (NO_YARD, "coordinator", "/wall/", "/yards/add/"),
        (NO_YARD, "assessor", "/", "/help/feeling/"),
        (NO_YARD, "vet", "/round/", "/help/feeling/"),
        (NO_YARD, "auditor", "/horses/", "/record/"),
        (NO_HORSE, "coordinator", "/", "/horses/add/"),
        (NO_HORSE, "coordinator", "/horses/", "/horses/add/"),
        (NO_HORSE, "coordinator", "/due/", "/horses/add/"),
        (NO_HORSE, "assessor", "/", "/help/feeling/"),
        (NO_HORSE, "auditor", "/", "/record/"),
        (NO_HORSE, "coordinator", "/horses/?state=gone", "/horses/"),
        (NO_HORSE, "coordinator", "/people/?state=over", "/people/"),
        (states.ORGANISATION, "vet", "/horses/?search=nobody", "/horses/"),
        (states.ORGANISATION, "coordinator", "/?search=nobody", "?"),
        (states.ORGANISATION, "coordinator", "/record/?group=people", "/record/"),
        (states.ORGANISATION, "coordinator", "/alerts/?state=resolved", "/due/"),
    ],
)
def test_what_is_missing_says_the_one_thing_to_do_next(
    there: dict[str, str], organisation: str, role: str, path: str, onward: str
) -> None:
    answer = states.client(organisation, role).get(path)
    assert answer.status_code == 200
    page = states.Reading(answer.content.decode())
    assert onward in page.own, page.own


def turned(text: str) -> bool:
    """Whether a text has a letter written from right to left, outside of what isolates it."""
    rest = _ISOLATED.sub("", text)
    return any(unicodedata.bidirectional(each) in {"R", "AL"} for each in rest)


@pytest.mark.parametrize("role", states.ROLES)
def test_names_of_any_direction_and_length_turn_nothing_around_them(
    there: dict[str, str], role: str
) -> None:
    client, bare, read = states.client(states.ORGANISATION, role), set(), 0
    for row, path in states.pages_of(there):
        answer = client.get(path)
        assert answer.status_code == states.expected(row, role), path
        if answer.status_code == 200 and answer["Content-Type"].startswith("text/html"):
            page = states.Reading(answer.content.decode())
            bare |= {(path, text.strip()) for text in page.bare if turned(text)}
            read += 1
    assert sorted(bare) == []
    assert read > 25


@pytest.mark.parametrize("horse", [1, 2, 3])
def test_a_horse_without_a_reading_that_counts_says_so(there: dict[str, str], horse: int) -> None:
    name = states.HORSES[horse][0]
    client = states.client(states.ORGANISATION, "vet")
    page = client.get(f"/horses/{cast.ref(name)}/").content.decode()
    assert "No score yet" in page or "Last scored on" in page
    assert re.findall(r">\s*(?:None|nan)\s*<|\b(?:None|nan) (?:to|kg|lb|points)\b", page) == []


def test_what_is_refused_or_is_not_there_leads_on(there: dict[str, str]) -> None:
    client = states.client(states.ORGANISATION, "auditor")
    for path, status in (("/people/", 403), ("/horses/nothing/", 404), ("/nowhere/", 404)):
        answer = client.get(path)
        assert answer.status_code == status
        page = states.Reading(answer.content.decode())
        assert {"/", "/help/who/"} <= page.own
    assert followed(client, {"/nowhere/": page.links}, {}, set()) == []


def test_somebody_to_whom_nothing_is_open_can_leave(there: dict[str, str]) -> None:
    stranger = User.objects.create_user(
        email="stranger@example.org", name="Nobody yet", password=cast.PASSWORD,
        created_at=cast.BEGAN,
    )  # fmt: skip
    client = Client()
    client.force_login(stranger)
    answer = client.get("/")
    assert answer.status_code == 403
    page = states.Reading(answer.content.decode())
    assert "/accounts/logout/" in page.own
    assert client.get("/help/who/?kept").status_code == 200


@pytest.mark.parametrize(("method", "again"), [("get", True), ("post", False)])
def test_our_own_fault_is_tried_again_by_a_link_only_where_nothing_was_sent(
    method: str, again: bool
) -> None:
    request = getattr(RequestFactory(), method)("/due/?yard=1")
    for answer in (screen.failed(request), screen.busy(request)):
        page = states.Reading(answer.content.decode())
        assert {"/", "/help/who/"} <= page.own
        assert ("/due/?yard=1" in page.own) == again
