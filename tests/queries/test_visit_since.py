"""When a vet was last here: what was put right from elsewhere is no visit."""

from datetime import date
from typing import Any

from scoring.actions import assessments, clinical_notes, weighings
from scoring.rules import visit as rule
from tests import readings
from tests.queries.test_visit import DAY, NOW, TEASEL, last_day, score, weigh

THEN, SINCE = NOW - 9 * DAY, NOW - 2 * DAY
WHY = {"reason": "Misread the sheet"}


def test_a_correction_is_no_visit_whatever_it_corrects(inside: Any) -> None:
    with inside("keziah") as viewer:
        scored, weighed = score(viewer, THEN), weigh(viewer, THEN, "440")
        noted = clinical_notes.write(viewer, TEASEL, {"text": "Sound"}, now=THEN)
    with inside("maud") as viewer:
        hers = score(viewer, THEN)
    bridge = {"method": "weighbridge", "weight_kg": "446"}
    again = {"horse": str(TEASEL), "taken_at": THEN.isoformat(), **bridge, **WHY}
    with inside("keziah") as viewer:
        better = readings.raw("Teasel", THEN, "3", "3", "3", **WHY)
        assessments.correct_assessment(viewer, scored.id, better, now=SINCE)
        # A weight that Maud's score was without comes with its correction.
        with_weight = readings.raw("Teasel", THEN, "3", "3", "3", weighing=bridge, **WHY)
        assessments.correct_assessment(viewer, hers.id, with_weight, now=SINCE)
        weighings.correct_weighing(viewer, weighed.id, again, now=SINCE)
        clinical_notes.correct(viewer, noted.id, {"text": "Lame", **WHY}, now=SINCE)
        assert last_day(viewer) == (date(2026, 7, 5), rule.LAST_VISIT)
        score(viewer, SINCE)
        assert last_day(viewer) == (date(2026, 7, 12), rule.LAST_VISIT)
