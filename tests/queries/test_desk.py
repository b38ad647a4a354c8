"""What the officer's desk tells of a day gone by is what was on record then, and no more."""

from collections.abc import Callable
from contextlib import AbstractContextManager
from datetime import UTC, datetime, timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from scoring.actions import alerts, assessments
from scoring.models import Alert
from scoring.queries import desk
from tests import cast, factories, readings, signing
from yards import isolation
from yards.actions import horses
from yards.models import Entry, EntryPayload, ErasedPayload, Erasure, Yard
from yards.rules.roles import Viewer

Inside = Callable[..., AbstractContextManager[Viewer]]
FIRST = datetime(2026, 4, 12, 10, 0, tzinfo=UTC)
DAY = timedelta(days=1)
THIN, RIGHT = ("1", "1", "1"), ("3", "3", "3")


@pytest.fixture
def told(inside: Inside) -> None:
    """Teasel: scored on the first day, put right two days on; renamed and moved on the fifth, as
    of the third; scored on the second day by a phone that came home on the sixth."""
    with inside("isolde") as viewer:
        made = assessments.record_assessment(
            viewer, readings.raw("Teasel", FIRST, *RIGHT), now=FIRST
        )
        again = readings.raw("Teasel", FIRST, *THIN, reason="Wrong horse on the sheet")
        assessments.correct_assessment(viewer, made.id, again, now=FIRST + 2 * DAY)
        fifth = FIRST + 4 * DAY
        facts = {"name": "Teasel of Top Barn", "transponder": "826000000000018", "version": 1}
        horses.change_horse(viewer, cast.ref("Teasel"), facts, now=fifth)
        move = {"yard": str(cast.ref("Sallow Field")), "at": (FIRST + 2 * DAY).isoformat()}
        horses.move_horse(viewer, cast.ref("Teasel"), move, now=fifth)
        late = readings.raw("Teasel", FIRST + DAY, "2", "2", "2")
        assessments.record_assessment(viewer, late, now=FIRST + 5 * DAY)


def seen(viewer: Viewer, at: datetime) -> desk.Stood:
    """Teasel as known at an instant."""
    with isolation.as_known(viewer, at):
        found = desk.known_horses(viewer, at=at)
    return next(each for each in found if each.card.ref == cast.ref("Teasel"))


@pytest.mark.usefixtures("told")
def test_each_day_tells_what_was_known_that_day(inside: Inside) -> None:
    with inside("hollis") as viewer:
        days = [seen(viewer, FIRST + n * DAY) for n in (0, 1, 2, 4, 5)]
        assert [each.score for each in days] == ["3.00", "3.00", "1.00", "1.00", "2.00"]
        assert [each.corrected for each in days] == [0, 0, 1, 1, 1]
        assert [each.yard and each.yard.name for each in days] == [
            *("Top Barn", "Top Barn", "Top Barn"),
            *("Sallow Field", "Sallow Field"),
        ]
        assert [each.card.name for each in days][2:4] == ["Teasel", "Teasel of Top Barn"]
        assert [each.card.transponder for each in days][2:4] == ["", "826000000000018"]
        # Thin was found when it was put right, and not before.
        assert [bool(each.open_alerts) for each in days[:3]] == [False, False, True]
        before = seen(viewer, FIRST - DAY)
        assert (before.score, before.scored_at, before.gap) == ("", None, None)
        assert seen(viewer, FIRST + 90 * DAY).gap is not None
        # Narrowed no longer than asked for.
        with isolation.as_known(viewer, FIRST):
            pass
        assert seen(viewer, FIRST + 5 * DAY).score == "2.00"


@pytest.mark.usefixtures("told")
def test_the_page_of_a_horse_sets_corrections_side_by_side(database: str) -> None:
    hollis = signing.signed_in("hollis")
    path = f"/desk/horses/{cast.ref('Teasel')}/"
    then = hollis.get(f"{path}?on=2026-04-12").content.decode()
    assert "Nothing had been corrected" in then
    assert "Wrong horse on the sheet" not in then
    assert "Where it had stood" in then
    after = hollis.get(f"{path}?on=2026-04-14").content.decode()
    assert "Wrong horse on the sheet" in after
    assert "As the record had it at the end of 14 April 2026" in after
    assert "2 to 3<" in after.split("Target band that day")[1].split("</dd>")[0]
    # A day to come, and no day at all, are today.
    for on in ("2099-01-01", "soon", ""):
        assert b"As known now." in hollis.get(f"{path}?on={on}").content
    board = hollis.get("/desk/?on=2026-04-14")
    assert b"Teasel" in board.content
    assert b"2 to 3" in board.content
    assert hollis.get(f"/desk/?yard={cast.ref('Larchgill Yard')}").status_code == 404


@pytest.mark.usefixtures("told")
def test_an_alert_is_open_on_each_day_before_it_was_resolved_and_no_day_after(
    inside: Inside,
) -> None:
    """A resolution later than the day is no news of that day."""
    with inside("isolde") as viewer:
        alert = Alert.objects.get(horse__ref=cast.ref("Teasel"), rule="emaciated")
        alerts.resolve(
            viewer, alert.ref, {"reason": "Fed", "vet_said": "Better"}, now=FIRST + 4 * DAY
        )
    with inside("hollis") as viewer:
        told = []
        for n in (1, 2, 3, 4):
            at = FIRST + n * DAY
            with isolation.as_known(viewer, at):
                rules = [each.rule for each in desk.open_alerts(viewer, cast.ref("Teasel"), at)]
            told.append(("emaciated" in rules, seen(viewer, at).open_alerts == len(rules)))
        assert told == [(False, True), (True, True), (True, True), (False, True)]


@pytest.mark.usefixtures("told")
def test_the_desk_asks_first_counts_what_stood_there_and_says_once_what_all_lack() -> None:
    hollis = signing.signed_in("hollis")
    asked = hollis.get("/desk/").content.decode()
    assert "Show that day" in asked
    assert "Teasel" not in asked
    then = hollis.get("/desk/?on=2026-04-12").content.decode()
    assert "None had a transponder on record." in then
    assert "no transponder on record</" not in then
    assert "2 horses stood here." in then
    assert "5 horses in all." in then
    # Two of Sallow Field's three had none by then, of one it is known.
    barn = f"/desk/?on=2026-04-18&yard={cast.ref('Sallow Field')}"
    later = hollis.get(barn).content.decode()
    assert "3 horses stood here. 2 had no transponder on record" in later
    assert "826000000000018" in later
    page = f"/desk/horses/{cast.ref('Teasel')}/?on=2026-04-18"
    assert f"{page}&amp;yard={cast.ref('Sallow Field')}" in later
    horse = hollis.get(f"{page}&yard={cast.ref('Sallow Field')}").content.decode()
    assert f'href="{barn.replace("&", "&amp;")}"' in horse, "the way back is to the same yard"


@pytest.mark.usefixtures("told")
def test_what_an_erased_change_did_is_not_known_of_the_days_before_it(inside: Inside) -> None:
    teasel = cast.ref("Teasel")
    with inside("isolde") as viewer:
        facts = {"name": "Teasel the Third", "use": "athlete", "version": 3}
        horses.change_horse(viewer, teasel, facts, now=FIRST + 6 * DAY)
        changes = Entry.objects.filter(target_ref=teasel).order_by("id")
        _, second = changes.filter(verb="horse.changed")
        factories.erase_payload(viewer, second, person=cast.ref("maud"))
        EntryPayload.objects.filter(entry=second).delete()
    with inside("hollis") as viewer:
        # What an earlier change says of before it is known; all else may have been otherwise.
        early, between, after = (seen(viewer, FIRST + n * DAY) for n in (2, 5, 7))
        assert (early.card.name, "name" in early.unknown) == ("Teasel", False)
        assert (early.card.use, "use" in early.unknown) == ("", True)
        assert {"name", "use", "transponder"} <= between.unknown
        assert (between.card.transponder, between.card.use) == ("", "")
        assert (after.card.use, after.unknown) == ("athlete", frozenset())
    hollis = signing.signed_in("hollis")
    page = hollis.get(f"/desk/horses/{teasel}/?on=2026-04-17").content.decode()
    assert "Teasel the Third (today&#x27;s name)" in page
    assert "<bdi>athlete<" not in page
    assert "<dd><bdi>not known</bdi></dd>" in page
    board = hollis.get("/desk/?on=2026-04-17").content.decode()
    assert "transponder not known" in board
    with inside("isolde") as viewer:
        here = {"organisation_id": viewer.organisation, "entry": changes.get(verb="horse.moved")}
        gone = Erasure.objects.get()
        ErasedPayload.objects.create(ref=cast.ref("gone"), erasure=gone, **here)
        EntryPayload.objects.filter(**here).delete()
    with inside("hollis") as viewer:
        early, after = (seen(viewer, FIRST + n * DAY) for n in (2, 5))
        assert (early.yard, early.since) == (None, None)
        assert after.yard is not None
    for place in ("Top Barn", "Sallow Field"):
        told = hollis.get(f"/desk/?on=2026-04-14&yard={cast.ref(place)}").content.decode()
        assert "1 horse may have stood here" in told
    page = hollis.get(f"/desk/horses/{teasel}/?on=2026-04-14").content.decode()
    assert "<strong>not known</strong>" in page


def test_more_horses_cost_no_more_queries(inside: Inside) -> None:
    counts = []
    for n in (2, 10):
        with inside("isolde") as viewer:
            yard = Yard.objects.get(ref=cast.ref("Top Barn"))
            here = {"organisation_id": viewer.organisation, "yard": yard}
            for _ in range(n):
                factories.HorseFactory.create(**here)
            with (
                CaptureQueriesContext(
                    connection,
                ) as asked,
                isolation.as_known(viewer, FIRST),
            ):
                desk.known_horses(viewer, at=FIRST)
        counts.append(len(asked))
    assert counts[0] == counts[1] <= 10
