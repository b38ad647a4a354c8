"""The demo as ``make_demo`` makes it: what stands in it, and that nobody was written to."""

import json
import os
import stat
from collections import Counter
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from django.contrib.auth import authenticate
from django.core.management import CommandError, call_command

from scoring.actions import deliver, standing, subjects, timers
from scoring.models import Alert, Assessment, Notice, Standing, Timer
from scoring.rules import due
from tests import cast, mailbox
from yards import isolation
from yards.access import viewers
from yards.models import Entry, Horse, Yard
from yards.rules import errors, seasons
from yards.rules.roles import Role, Viewer

QUILLET_YARDS = {"Top Barn", "Sallow Field", "Nether Paddocks", "Isolation Block"}
ROLES = {
    "coordinator": Role.COORDINATOR,
    "assessor": Role.ASSESSOR,
    "vet": Role.VET,
    "auditor": Role.AUDITOR,
    "device": Role.DEVICE,
    "other_coordinator": Role.COORDINATOR,
}
# What rebuilding must bring back; when it was last worked out is another matter.
REBUILT = [name for name in standing.KEPT if name not in {"updated_at", "yard_id"}]


@pytest.fixture
def keys(demo: str, demo_keys: Path) -> dict[str, Any]:
    found: dict[str, Any] = json.loads((demo_keys / "demo.json").read_text())
    return found


def seen_by(keys: dict[str, Any], key: str) -> Viewer:
    return viewers.viewer_of_token(keys["tokens"][key], datetime.now(UTC))


def test_the_keys_are_for_one_users_eyes_and_open_every_door(
    keys: dict[str, Any], demo_keys: Path
) -> None:
    assert stat.S_IMODE(os.stat(demo_keys / "demo.json").st_mode) == 0o600
    assert Path(keys["mail"]).is_absolute()
    assert {key: seen_by(keys, key).role for key in keys["tokens"]} == ROLES
    assert all(seen_by(keys, key).sees_all for key in ("assessor", "vet", "auditor"))
    assert Counter(person["role"] for person in keys["people"]) == {
        "coordinator": 2,
        "assessor": 3,
        "vet": 1,
        "auditor": 1,
    }
    for person in keys["people"]:
        assert person["email"].endswith("@example.org")
        user = authenticate(username=person["email"], password=person["password"])
        assert user is not None, person["email"]
        held = viewers.memberships(user.pk, datetime.now(UTC))
        assert [each.name for each in held] == [person["organisation"]]


def test_the_yards_and_animals_stand_as_the_scenario_says(keys: dict[str, Any]) -> None:
    today = datetime.now(UTC).date()
    with isolation.of(seen_by(keys, "coordinator")):
        assert set(Yard.objects.values_list("name", flat=True)) == QUILLET_YARDS
        species = Counter(Horse.objects.values_list("species", flat=True))
        assert species == {"horse": 38, "donkey": 8}
        barn = Yard.objects.get(name="Top Barn")
        spring = seasons.Spring(barn.spring_first, barn.spring_last)
        assert seasons.in_spring(today, barn.hemisphere, spring)
        assert barn.quiet_from is None
        first = Assessment.objects.earliest("corrected_at").corrected_at
        assert first < datetime.now(UTC) - timedelta(days=700)
        # Every reading, every answer to an alert, has its entry.
        verbs = Counter(Entry.objects.values_list("verb", flat=True))
        readings = verbs["assessment.recorded"] + verbs["assessment.corrected"]
        assert readings == Assessment.objects.count() > 600
    with isolation.of(seen_by(keys, "other_coordinator")):
        assert set(Yard.objects.values_list("name", flat=True)) == {"Larchgill Yard"}
        assert Horse.objects.count() == 5


def test_there_is_something_to_do_and_teasel_is_within_its_band(keys: dict[str, Any]) -> None:
    with isolation.of(seen_by(keys, "coordinator")):
        unresolved = Alert.objects.exclude(state="resolved")
        held = set(unresolved.values_list("horse__name", "rule"))
        assert ("Oxlip", "fat_in_spring") in held
        assert ("Thistle", "overdue") in held
        assert not [rule for horse, rule in held if horse == "Teasel"]
        teasel = Standing.objects.get(horse__name="Teasel")
        assert teasel.place == "within"
        old = Standing.objects.select_related("last_assessment").get(horse__name="Old Flint")
        assert (old.place, old.interval_reason) == ("below", "interval_thin")
        late = Standing.objects.get(horse__name="Thistle")
        assert due.state(late.score_due_at, datetime.now(UTC), "Europe/London") == due.OVERDUE
        assert Alert.objects.filter(rule="emaciated", resolution="person").exists()


@pytest.mark.parametrize("key", ["coordinator", "other_coordinator"])
def test_a_standing_made_again_from_the_readings_is_the_one_that_is_kept(
    keys: dict[str, Any], key: str
) -> None:
    viewer = seen_by(keys, key)
    with isolation.of(viewer):
        horses = list(Horse.objects.select_related("yard").order_by("id"))
        assert horses
        for horse in horses:
            held = subjects.locked(horse)
            before = {name: getattr(held, name) for name in REBUILT}
            standing.rebuild(viewer, held, datetime.now(UTC))
            held.refresh_from_db()
            after = {name: getattr(held, name) for name in REBUILT}
            assert after == before, horse.name


def test_no_mail_goes_for_the_past_and_timers_stand_in_the_future(keys: dict[str, Any]) -> None:
    now = datetime.now(UTC)
    for key in ("coordinator", "other_coordinator"):
        with isolation.of(seen_by(keys, key)):
            assert not Notice.objects.exclude(state__in=["sent", "called_off"]).exists()
            assert not Notice.objects.filter(due_at__isnull=False).exists()
            running = Timer.objects.filter(due_at__isnull=False)
            assert not running.filter(due_at__lte=now - timedelta(minutes=1)).exists()
            assert running.filter(kind="sweep").count() == Yard.objects.count()
    # Nothing that delivery could claim, whenever it asks.
    assert isolation.due("scoring_notice", now + timedelta(days=3650), 10) == []
    # What a start would do at once: run what is due, and send what waits.
    with mailbox.opened() as mail:
        timers.run_due(now=now)
        deliver.deliver_due(now=now + timedelta(minutes=30))
        assert mail.offered == []


def test_a_demo_that_is_there_is_not_made_again(
    keys: dict[str, Any], demo_keys: Path, tmp_path: Path
) -> None:
    for folder in (demo_keys, tmp_path):
        with pytest.raises(CommandError, match="is there"):
            call_command("make_demo", f"--data={folder}", "--url=http://127.0.0.1:1")
    assert list(tmp_path.iterdir()) == []
    assert json.loads((demo_keys / "demo.json").read_text()) == keys
    # The refusal wrote nothing either.
    with isolation.of(seen_by(keys, "coordinator")):
        assert Horse.objects.count() == 46


def test_a_start_broken_off_after_the_commit_takes_its_keys_up_again(
    keys: dict[str, Any], tmp_path: Path
) -> None:
    for number, name in enumerate(cast.ORGANISATIONS):
        people = [each for each in keys["people"] if each["organisation"] == name]
        others = {key: raw for key, raw in keys["tokens"].items() if key.startswith("other")}
        mine = others if number else {k: v for k, v in keys["tokens"].items() if k not in others}
        part = {"people": people, "tokens": mine}
        (tmp_path / f"demo-{number}.part").write_text(json.dumps(part))
    call_command("make_demo", f"--data={tmp_path}", "--url=http://127.0.0.1:1")
    found = json.loads((tmp_path / "demo.json").read_text())
    assert (found["people"], found["tokens"]) == (keys["people"], keys["tokens"])
    assert [each.name for each in tmp_path.iterdir()] == ["demo.json"]


def test_a_token_of_the_demo_that_was_altered_opens_nothing(keys: dict[str, Any]) -> None:
    with pytest.raises(errors.NotSignedIn):
        viewers.viewer_of_token(keys["tokens"]["vet"] + "x", datetime.now(UTC))
