"""What the rules refuse, the database refuses too: closed lists, ranges and what goes together.

Written straight in the tables, past every rule, as the runtime role. Each has its neighbour that
the database takes, so that it is this fault and no other that is refused.
"""

from collections.abc import Callable
from contextlib import AbstractContextManager
from datetime import timedelta
from typing import Any

import pytest
import uuid_utils.compat as uuid_utils
from django.db import IntegrityError, transaction

from scoring.models import Assessment, Concern, Instrument, Notice, Photo, Timer, Weighing
from tests import alarms
from tests.alarms import NOW
from yards.models import Horse
from yards.rules.roles import Viewer

Inside = Callable[..., AbstractContextManager[Viewer]]
Write = Callable[[dict[str, Any]], object]
LATE = {"corrected_at": NOW + timedelta(minutes=5, microseconds=1)}
IN_TIME = {"corrected_at": NOW + timedelta(minutes=5)}


def assessed(facts: dict[str, Any]) -> object:
    row = alarms.scored("Teasel", 6, 6, 6, at=NOW)
    return copied(row, Assessment, facts)


def copied(row: Assessment, model: Any, facts: dict[str, Any]) -> object:
    """Write a row of one of the three tables, taken as an assessment was."""
    shared = ("organisation_id", "horse_id", "yard_id", "assessor_id", "recorded_by_id")
    times = ("taken_at", "received_at", "corrected_at")
    known = {name: getattr(row, name) for name in (*shared, *times)}
    if model is Assessment:
        scale = facts.get("scale", "five")
        known |= {"scale": scale, "scale_version": 1, "manner": "palpated"}
        known |= {"neck": 6, "back": 6, "hind": 6} if scale == "five" else {"whole": 6}
    if model is Weighing:
        known |= {"method": "weigh_tape", "weight_kg": 470}
    return model.objects.create(
        **{**known, "ref": uuid_utils.uuid7(), "content_digest": b"", **facts}
    )


def weighed(facts: dict[str, Any]) -> object:
    if facts.pop("instrument", False):
        facts["instrument"] = Instrument.objects.create(
            organisation_id=alarms.SYSTEM.organisation,
            ref=uuid_utils.uuid7(),
            kind="weigh_tape",
            label="A tape",
            created_at=NOW,
            content_digest=b"",
        )
    return copied(alarms.scored("Teasel", 6, 6, 6, at=NOW), Weighing, facts)


def worried(facts: dict[str, Any]) -> object:
    return copied(alarms.scored("Teasel", 6, 6, 6, at=NOW), Concern, facts)


def photographed(facts: dict[str, Any]) -> object:
    """Write a photo; ``assessment`` or ``concern`` True is one that there is."""
    row = alarms.scored("Teasel", 6, 6, 6, at=NOW)
    things = {"assessment": row, "concern": copied(row, Concern, {})}
    facts = {name: things[name] if each is True else each for name, each in facts.items()}
    known = ("organisation_id", "horse_id", "recorded_by_id", "taken_at", "received_at")
    plain = {name: getattr(row, name) for name in (*known, "corrected_at")}
    plain |= {"of": "horse", "side": "left", "width": 1, "height": 1, "image": b"x"}
    ours = {"ref": uuid_utils.uuid7(), "sent_sha256": b"", "content_digest": b""}
    return Photo.objects.create(**{**plain, **ours, **facts})


def horse(facts: dict[str, Any]) -> object:
    return Horse.objects.filter(id=alarms.horse("Teasel").id).update(**facts)


def timed(facts: dict[str, Any]) -> object:
    return Timer.objects.create(
        organisation_id=alarms.SYSTEM.organisation,
        ref=uuid_utils.uuid7(),
        created_at=NOW,
        **{"kind": "sweep", "key": f"a {facts}", **facts},
    )


def noticed(facts: dict[str, Any]) -> object:
    return Notice.objects.create(
        organisation_id=alarms.SYSTEM.organisation,
        ref=uuid_utils.uuid7(),
        created_at=NOW,
        person_id=alarms.scored("Teasel", 6, 6, 6, at=NOW).recorded_by_id,
        message_id="<a@b>",
        **{"kind": "alert", "key": f"a {facts}", **facts},
    )


CASES: list[tuple[str, Write, dict[str, Any], dict[str, Any]]] = [
    ("scoring_assessment_not_ahead", assessed, LATE, IN_TIME),
    ("scoring_weighing_not_ahead", weighed, LATE, IN_TIME),
    ("scoring_concern_not_ahead", worried, LATE, IN_TIME),
    ("scoring_photo_not_ahead", photographed, LATE, IN_TIME),
    ("scoring_photo_side", photographed, {"side": "belly"}, {"side": "mark"}),
    *(
        ("scoring_photo_is_of_one_thing", photographed, bad, good)
        for bad, good in (
            ({"of": "yard"}, {"of": "horse"}),
            ({"of": "assessment"}, {"of": "assessment", "assessment": True}),
            ({"of": "concern", "assessment": True}, {"of": "concern", "concern": True}),
            ({"of": "horse", "assessment": True}, {"of": "horse"}),
        )
    ),
    ("scoring_assessment_by_eye_on_scale", assessed, {"by_eye": 11}, {"by_eye": 10}),
    (
        "scoring_assessment_by_eye_on_scale",
        assessed,
        {"scale": "nine", "by_eye": 1},
        {"scale": "nine", "by_eye": 18},
    ),
    (
        "scoring_assessment_by_eye_on_scale",
        assessed,
        {"scale": "donkey", "by_eye": 11},
        {"scale": "donkey", "by_eye": 2},
    ),
    *(
        ("scoring_assessment_beside_from_its_lists", assessed, {name: "x"}, {name: known})
        for name, known in (("appetite", "all"), ("muscle", "full"), ("coat", "winter"))
    ),
    (
        "scoring_weighing_formula_named_by_formula",
        weighed,
        {"method": "formula"},
        {"method": "formula", "formula": "girth_length"},
    ),
    ("scoring_weighing_formula_named_by_formula", weighed, {"formula": "girth_length"}, {}),
    (
        "scoring_weighing_estimate_has_no_instrument",
        weighed,
        {"method": "estimate", "instrument": True},
        {"method": "estimate"},
    ),
    ("scoring_weighing_fed", weighed, {"fed": "x"}, {"fed": "before_feed"}),
    *(
        (
            "scoring_weighing_tape_from_its_lists",
            weighed,
            {"method": "weigh_tape", name: "x"},
            {"method": "weigh_tape", name: known},
        )
        for name, known in (("tape_side", "left"), ("tape_position", "top_of_withers"))
    ),
    (
        "scoring_weighing_tape_only_by_tape",
        weighed,
        {"method": "weighbridge", "tape_side": "left"},
        {"method": "weighbridge"},
    ),
    *(
        ("yards_horse_facts_from_their_lists", horse, {name: "x"}, {name: known})
        for name, known in (
            ("sex", "mare"),
            ("use", "athlete"),
            ("breeding", "empty"),
            ("laminitis", "past"),
            ("endocrine", "suspected"),
        )
    ),
    ("scoring_timer_kind", timed, {"kind": "x"}, {"kind": "follow_up"}),
    ("scoring_notice_kind", noticed, {"kind": "x"}, {"kind": "reminder"}),
    ("scoring_notice_state", noticed, {"state": "x"}, {"state": "sent"}),
]


@pytest.mark.parametrize(("name", "write", "bad", "good"), CASES)
def test_the_database_refuses_it_by_name(
    inside: Inside, name: str, write: Write, bad: dict[str, Any], good: dict[str, Any]
) -> None:
    with inside("isolde"):
        with pytest.raises(IntegrityError, match=f'"{name}"'), transaction.atomic():
            write(dict(bad))
        write(dict(good))
