"""What is new of a horse since a vet's visit, a sentence each; a change only where there is one."""

from collections.abc import Callable, Iterator
from typing import NamedTuple
from uuid import UUID

from django.urls import reverse
from django.utils.translation import gettext, ngettext

from scoring.pages import chart_units, order_words
from scoring.queries import trend, wording
from scoring.queries.visit import Seen
from scoring.queries.visit_news import Alarm, News
from scoring.rules import visit
from yards.pages import words
from yards.rules import bidi


class Line(NamedTuple):
    """One sentence, and where it leads, if anywhere."""

    text: str
    href: str = ""


def changes(seen: Seen) -> list[str]:
    """Return how score and weight went since the visit, each with its 80% range."""
    told = [
        _went(gettext("Score"), seen.score, chart_units.points_2, chart_units.in_points, seen.zone),
        _went(gettext("Weight"), seen.weight, _kg, _kg, seen.zone),
    ]
    return [each for each in told if each]


def _kg(value: float) -> str:
    return chart_units.said(trend.WEIGHT, value)


def _went(
    what: str,
    change: visit.Change,
    level: Callable[[float], str],
    size: Callable[[float], str],
    zone: str,
) -> str:
    """Return one sentence; nothing where nothing was read since."""
    if change.reason == visit.NOTHING_SINCE:
        return ""
    if change.begun is not None:
        told = gettext("{what} not compared: the line begins anew on {day}. {why}")
        day = words.day(change.begun, zone)
        return told.format(what=what, day=day, why=wording.say(change.reason))
    if change.gone is None or change.before is None or change.after is None:
        return f"{what}: {_small(wording.say(change.reason))}"
    value, low, high = change.gone
    if change.is_level:
        told = gettext("{what} about level: 80% range {low} down to {high} up")
        return told.format(what=what, low=size(-low), high=size(high))
    told = gettext("{what} {size} up, 80% range {low} to {high}: level {before} then, {after} now")
    if value < 0:
        told = gettext(
            "{what} {size} down, 80% range {low} to {high}: level {before} then, {after} now"
        )
    near, far = sorted((abs(low), abs(high)))
    return told.format(
        what=what,
        size=size(abs(value)),
        low=size(near),
        high=size(far),
        before=level(change.before.value),
        after=level(change.after.value),
    )


def _small(text: str) -> str:
    return text[:1].lower() + text[1:]


def news(seen: Seen) -> list[Line]:
    """Return what else is new, in the order that it is asked about."""
    return [*_counted(seen.news), *_alerts(seen.news, seen.zone), *_others(seen)]


def _counted(found: News) -> Iterator[Line]:
    scores = ngettext("{n} score", "{n} scores", found.scores).format(n=found.scores)
    weights = ngettext("{n} weight", "{n} weights", found.weights).format(n=found.weights)
    notes = ngettext("{n} clinical note", "{n} clinical notes", found.notes).format(n=found.notes)
    pairs = ((found.scores, scores), (found.weights, weights), (found.notes, notes))
    told = [each for count, each in pairs if count]
    if told:
        yield Line(gettext("Recorded: {what}").format(what=", ".join(told)))


def _alerts(found: News, zone: str) -> Iterator[Line]:
    for each in found.opened:
        yield _alert(gettext("Alert opened on {on}: {what}"), each, zone)
    for each in found.resolved:
        yield _alert(gettext("Alert resolved on {on}: {what}"), each, zone)


def _alert(told: str, found: Alarm, zone: str) -> Line:
    said = told.format(on=words.day(found.at, zone), what=wording.title(found.rule))
    return Line(said, reverse("scoring:alert", args=[found.ref]))


def _others(seen: Seen) -> Iterator[Line]:
    found, zone = seen.news, seen.zone
    for seen_then in found.concerns:
        told = gettext("Concern on {on}: {what}")
        signs = [wording.sign(each) for each in seen_then.signs]
        what = "; ".join([*signs, *([seen_then.note] if seen_then.note else [])])
        yield Line(told.format(on=words.day(seen_then.at, zone), what=what))
    for event in found.events:
        said = words.event_kind(event.kind) + (f". {event.note}" if event.note else "")
        yield Line(f"{words.day(event.at, zone)}: {said}")
    for move in found.moves:
        told = gettext("Moved on {on} from {before} to {after}")
        if not move.before:
            told = gettext("Came on {on} to {after}")
        on = words.day(move.at, zone)
        yield Line(
            told.format(on=on, before=bidi.isolated(move.before), after=bidi.isolated(move.after))
        )
    for card in found.orders:
        told = gettext("Order ends on {on}: {what}")
        if card.ends_at <= seen.now:
            told = gettext("Order ended on {on}: {what}")
        on = words.day(card.ends_at, zone)
        yield Line(told.format(on=on, what=order_words.what(card)))
    for each in found.corrections:
        yield _corrected(each.what, each.ref, words.day(each.at, zone), each.by, each.reason)


def _corrected(what: str, ref: UUID, on: str, by: str, reason: str) -> Line:
    is_score = what == "score"
    told = gettext("Score corrected on {on} by {who}: {why}")
    if not is_score:
        told = gettext("Weight corrected on {on} by {who}: {why}")
    page = reverse("scoring:scored" if is_score else "scoring:weighed", args=[ref])
    return Line(told.format(on=on, who=bidi.isolated(by), why=bidi.isolated(reason)), page)
