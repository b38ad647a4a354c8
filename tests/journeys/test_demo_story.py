"""What the demo is to show: animals of every kind, hands that err, and what befell some of them."""

import itertools
import json
import statistics
from collections import Counter, defaultdict
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
import uuid_utils.compat as uuid_utils

from scoring.management.demo import houses, scores, year
from scoring.models import Alert, Assessment, Concern, Notice, Standing, VetOrder, Weighing
from scoring.rules import due
from tests.conftest import connected
from yards import isolation
from yards.access import viewers
from yards.models import Entry, Horse, HorseEvent, Stay, Token
from yards.rules import fixture
from yards.rules.roles import Role, Viewer

SCENARIO = fixture.load("demo")
QUILLET = SCENARIO["organisations"][0]
COURSES = {
    each["name"]: scores.Course(0, {**QUILLET["most"], **each}) for each in QUILLET["horses"]
}


def inside_of(folder: Path, key: str) -> Any:
    keys = json.loads((folder / "demo.json").read_text())
    return isolation.of(viewers.viewer_of_token(keys["tokens"][key], datetime.now(UTC)))


@pytest.fixture
def quillet(demo: str, demo_keys: Path) -> Iterator[None]:
    with inside_of(demo_keys, "coordinator"):
        yield


def days_ago(at: datetime, now: datetime) -> int:
    return (now.date() - at.date()).days


def test_animals_of_every_use_and_age_stand_in_four_yards(quillet: None) -> None:
    here = Horse.objects.filter(status="present")
    assert here.count() >= 44
    uses = Counter(here.values_list("use", flat=True))
    assert set(uses) == {
        *("leisure", "athlete", "companion", "retired", "broodmare", "stallion"),
        *("youngster", "working"),
    }
    assert uses["stallion"] == 1
    assert uses["broodmare"] >= 3
    assert here.filter(use="stallion", sex="stallion").exists()
    assert {"pregnant", "lactating", "empty"} <= set(here.values_list("breeding", flat=True))
    assert min(Counter(here.values_list("yard__name", flat=True)).values()) >= 5
    born = [int(each[:4]) for each in here.exclude(born="").values_list("born", flat=True)]
    assert datetime.now(UTC).year - min(born) >= 25
    # A foal, born here of the mare that foaled.
    foaled = HorseEvent.objects.get(kind="foaled").at
    assert here.get(name="Cottongrass").born == foaled.date().isoformat()


def test_two_years_of_readings_more_often_for_those_at_risk(quillet: None) -> None:
    now, taken = datetime.now(UTC), defaultdict(list)
    rows = Assessment.objects.filter(superseded_by__isnull=True).order_by("corrected_at")
    for name, at in rows.values_list("horse__name", "corrected_at"):
        taken[name].append(at)
    long = [name for name, at in taken.items() if at[0] < now - timedelta(days=660)]
    assert len(long) >= 12
    between = {
        name: statistics.median(days_ago(at[0], at[1]) for at in itertools.pairwise(found))
        for name, found in taken.items()
        if len(found) > 2
    }
    assert between["Teasel"] == 28
    assert between["Wagtail"] == between["Juniper"] == between["Tormentil"] == 14
    assert between["Old Flint"] == 7
    assert max(between.values()) == 42


def _errors() -> dict[str, list[float]]:
    """Return by assessor how far each felt region lay from the true course, in points."""
    found = defaultdict(list)
    now = datetime.now(UTC)
    rows = Assessment.objects.filter(scale="five", manner="palpated", neck__isnull=False)
    for row in rows.select_related("horse", "assessor"):
        course = COURSES[row.horse.name]
        shape = course.horse["shape"]
        day = days_ago(row.corrected_at, now)
        if str(day) in {*course.horse.get("felt", {}), *course.horse.get("sent", {})}:
            continue
        true = course.true(day, row.corrected_at.date())
        for halves, departs in zip((row.neck, row.back, row.hind), shape, strict=True):
            if halves is not None:
                found[row.assessor.name].append(halves / 2 - true - departs)
    return found


def test_one_hand_is_biased_high_and_one_is_sloppy(quillet: None) -> None:
    errors = _errors()
    bias = {name: statistics.mean(found) for name, found in errors.items()}
    spread = {name: statistics.stdev(found) for name, found in errors.items()}
    assert set(errors) == {"Maud Pell", "Tobias Wren", "Jonty Farr", "Dr Keziah Orme"}
    assert 0.2 < bias["Tobias Wren"] < 0.4
    for name in ("Maud Pell", "Jonty Farr", "Dr Keziah Orme"):
        assert abs(bias[name]) < 0.1, name
    for name in ("Maud Pell", "Tobias Wren", "Dr Keziah Orme"):
        assert spread["Jonty Farr"] > 1.4 * spread[name], name


def test_one_tape_reads_high_and_weights_follow_the_score(quillet: None) -> None:
    now, share = datetime.now(UTC), defaultdict(list)
    rows = Weighing.objects.select_related("horse", "instrument", "yard")
    for row in rows:
        course = COURSES[row.horse.name]
        kg, day = course.horse["kg"], days_ago(row.corrected_at, now)
        at_three = scores.level(kg, day) if isinstance(kg, list) else kg
        points = course.true(day, row.corrected_at.date()) - 3
        assert row.instrument is not None
        share[row.instrument.label].append(
            float(row.weight_kg) / (at_three * (1 + scores.KG_A_POINT * points))
        )
        if row.instrument.label.startswith("Maud"):
            assert row.yard.name == "Nether Paddocks"
    assert 1.03 < statistics.mean(share["Maud Pell's own weigh tape"]) < 1.05
    assert 0.99 < statistics.mean(share["Weigh tape 1"]) < 1.01
    assert 0.99 < statistics.mean(share["Weighbridge of Ferrow Vets"]) < 1.01


def test_an_old_thin_horse_comes_up_slowly_under_its_vet(quillet: None) -> None:
    for name in ("Old Flint", "Betony"):
        order = VetOrder.objects.select_related("given_by").get(horse__name=name)
        assert order.given_by.name == "Dr Keziah Orme"
        assert order.until_at > datetime.now(UTC)
        rows = Assessment.objects.filter(horse__name=name, overall_sixths__isnull=False)
        felt = list(rows.order_by("corrected_at").values_list("overall_sixths", flat=True))
        assert felt[0] < felt[-1] <= 15  # 2½ points
        assert (Standing.objects.get(horse__name=name).rate_per_month or 0) > 0
    assert Standing.objects.get(horse__name="Betony").interval_reason == "interval_vet"


def test_special_records_are_there(quillet: None) -> None:
    second = Assessment.objects.select_related("supersedes").get(supersedes__isnull=False)
    assert second.reason
    assert second.supersedes is not None
    assert (second.supersedes.neck, second.neck) == (9, 5)
    assert Assessment.objects.filter(manner="visual", overall_sixths__isnull=False).count() == 2
    part = Assessment.objects.get(manner="palpated", overall_sixths__isnull=True)
    assert (part.horse.name, part.hind) == ("Schist", None)
    assert part.neck is not None
    assert part.limits
    concern = Concern.objects.get()
    assert not Assessment.objects.filter(
        horse=concern.horse, corrected_at__date=concern.corrected_at.date()
    ).exists()


def test_one_moved_one_died_one_was_rehomed_and_one_is_not_known_yet(quillet: None) -> None:
    yards = Stay.objects.filter(horse__name="Agate").order_by("from_at")
    assert list(yards.values_list("yard__name", flat=True)) == ["Top Barn", "Nether Paddocks"]
    for status, kind in (("dead", "died"), ("rehomed", "rehomed")):
        gone = Horse.objects.get(status=status)
        assert gone.ended_at == HorseEvent.objects.get(horse=gone, kind=kind).at
        assert not Stay.objects.filter(horse=gone, until_at__isnull=True).exists()
        assert not Assessment.objects.filter(horse=gone, corrected_at__gt=gone.ended_at).exists()
        assert not Alert.objects.filter(horse=gone).exclude(state="resolved").exists()
    unknown = Horse.objects.get(is_unknown=True)
    assert (unknown.status, unknown.merged_into_id, unknown.born) == ("present", None, "")


def test_alerts_stand_at_every_stage_and_some_horses_are_overdue(quillet: None) -> None:
    now = datetime.now(UTC)
    stages = {
        (horse, rule): state
        for horse, rule, state in Alert.objects.order_by("id").values_list(
            "horse__name", "rule", "state"
        )
    }
    assert stages["Oxlip", "fat_in_spring"] == "open"
    assert stages["Juniper", "crest_raised"] == "acknowledged"
    assert stages["Old Flint", "emaciated"] == stages["Lapwing", "danger_signs"] == "resolved"
    assert not Alert.objects.exclude(state="resolved").filter(severity="urgent").exists()
    standings = Standing.objects.filter(horse__status="present").select_related("horse")
    late = {
        each.horse.name
        for each in standings
        if due.state(each.score_due_at, now, "Europe/London") == due.OVERDUE
    }
    assert {"Thistle", "Dolerite", "Milkwort"} <= late
    assert len(late) < 12
    assert late <= {horse for (horse, rule), state in stages.items() if rule == "overdue"}


def test_the_record_shows_who_was_told_when_and_that_it_was_invented(quillet: None) -> None:
    now = datetime.now(UTC)
    told = Notice.objects.filter(state="sent")
    # A look that Old Flint missed one morning is told with what else that morning found.
    kinds = {"alert", "escalation", "question", "reminder", "season"}
    assert kinds == set(told.values_list("kind", flat=True))
    for notice in told.select_related("alert"):
        assert notice.sent_at is not None
        assert notice.created_at <= notice.sent_at < now
        # No delivery leaves it so: nobody ever tried, and the row says that it is invented.
        assert (notice.attempts, notice.attempted_at, notice.due_at) == (0, None, None)
        assert notice.params["invented"] is True
    oxlip = Alert.objects.get(horse__name="Oxlip", rule="fat_in_spring")
    first = told.get(alert=oxlip, kind="alert", person__name="Isolde Kerr")
    assert first.sent_at == oxlip.opened_at
    # Nobody has answered: the vet was told more than once, the last time when it escalated last.
    vet = told.filter(alert=oxlip, kind="escalation", person__name="Dr Keziah Orme")
    assert vet.count() > 1
    assert vet.latest("sent_at").sent_at == oxlip.escalated_at
    # What was still to go when the demo was made is called off, and never counts as told.
    assert not Notice.objects.filter(state="called_off", sent_at__isnull=False).exists()


def _taken() -> list[tuple[Any, ...]]:
    names = ("horse__name", "corrected_at", "neck", "back", "hind", "whole", "weighing__weight_kg")
    return list(Assessment.objects.order_by("corrected_at", "horse__name").values_list(*names))


@contextmanager
def _opened(now: datetime) -> Iterator[houses.House]:
    """Play the second organisation anew, in a transaction of its own."""
    facts, began = SCENARIO["organisations"][1], now - timedelta(days=SCENARIO["began_days_ago"])
    system = Viewer(organisation=uuid_utils.uuid7(), role=Role.SYSTEM, via="command")
    with isolation.of(system):
        house = houses.make(system, facts, began=began, now=now, password="a long pass phrase")
        year.Year(house, seed=SCENARIO["seed"], began=began, now=now).play()
        yield house


def test_the_same_seed_gives_the_same_readings(
    demo_template: str, template: str, demo_keys: Path, django_db_blocker: Any
) -> None:
    with connected(demo_template, django_db_blocker), inside_of(demo_keys, "other_coordinator"):
        first, made = _taken(), Token.objects.get().created_at
        entries = Entry.objects.count()
    with connected(template, django_db_blocker), _opened(made):
        assert _taken() == first
        assert Entry.objects.count() == entries - 1  # its token
    assert len(first) > 40
