"""How far a score is from the one before, in words: beside what was saved, never before."""

from datetime import timedelta

from django.utils.translation import gettext

from scoring.queries.assessments import AssessmentAnswer
from scoring.queries.score_before import score_before
from scoring.rules import reading, scale
from yards.pages import words
from yards.rules import bidi
from yards.rules.roles import Viewer

# As far apart, in points, as a horse seldom goes in four weeks: it is then asked to feel again.
FAR = {scale.FIVE: 1, scale.DONKEY: 1, scale.NINE: 2}
LATELY = timedelta(days=28)


def told(viewer: Viewer, found: AssessmentAnswer) -> str:
    """Return it, or nothing where this score or any before it is none by hand; one query."""
    if found.overall is None or found.manner != reading.PALPATED:
        return ""
    before = score_before(viewer, found.horse, scale=found.scale, at=found.corrected_taken_at)
    last = scale.mean(before.sixths) if before is not None else None
    if before is None or last is None:
        return ""
    facts = {
        "last": last,
        "on": words.day(before.at, found.time_zone),
        "name": bidi.isolated(before.by),
        "by": abs(found.overall - last),
    }
    if found.overall == last:
        return gettext("The same as last time: {last} on {on}, by {name}.").format(**facts)
    if found.overall > last:
        text = gettext("Up by {by} from last time: {last} on {on}, by {name}.").format(**facts)
    else:
        text = gettext("Down by {by} from last time: {last} on {on}, by {name}.").format(**facts)
    is_late = found.corrected_taken_at - before.at > LATELY
    if is_late or abs(found.overall - last) < FAR[found.scale]:
        return text
    again = gettext("That is far: feel again, or have another hand feel.")
    return f"{text} {again}"
