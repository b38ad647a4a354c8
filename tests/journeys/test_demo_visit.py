"""What the demo's vet finds on the visit: questions, an order that ends soon, notes, news."""

import json
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from scoring.queries import clinical_notes, questions, visit
from scoring.rules import board
from scoring.rules import visit as rule
from yards import isolation
from yards.access import viewers
from yards.models import Horse
from yards.rules.roles import Viewer


@pytest.fixture
def vet(demo: str, demo_keys: Path) -> Iterator[Viewer]:
    keys = json.loads((demo_keys / "demo.json").read_text())
    viewer = viewers.viewer_of_token(keys["tokens"]["vet"], datetime.now(UTC))
    with isolation.of(viewer):
        yield viewer


def test_the_page_is_not_bare(vet: Viewer) -> None:
    now = datetime.now(UTC)
    found = visit.get_visit(vet, now=now)
    assert {each.horse_name for each in found.questions} == {"Oxlip", "Betony"}
    assert [each.horse_name for each in found.ending] == ["Tormentil"]
    assert sum(found.counts[each] for each in board.WORK) >= 3
    last = dict(found.since)
    assert last["Top Barn"].why == rule.LAST_VISIT
    assert last["Top Barn"].at < now - timedelta(days=1)
    told = [each for each in found.seen if each.score.gone is not None]
    assert told
    assert any(each.weight.gone is not None for each in found.seen)
    assert any(each.news.opened for each in found.seen)


def test_notes_and_answers_stand_on_their_horses(vet: Viewer) -> None:
    flint = Horse.objects.get(name="Old Flint").ref
    newest, first = clinical_notes.list_notes(vet, flint).items
    assert (newest.supersedes, first.superseded_by) == (first.id, newest.id)
    [asked] = questions.list_questions(vet, questions.Wanted(flint)).items
    assert asked.end is not None
    assert (asked.state, asked.end.by.name) == ("answered", "Dr Keziah Orme")
