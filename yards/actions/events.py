"""What happens to a horse besides readings, recorded once and never edited."""

from collections.abc import Mapping
from datetime import datetime
from typing import Any
from uuid import UUID

from yards import audit
from yards.access import doors
from yards.actions import after, horses, once, stays
from yards.models import Horse, HorseEvent
from yards.rules import breeding, errors
from yards.rules import event as rule
from yards.rules import horse as horse_rule
from yards.rules.errors import FieldError
from yards.rules.roles import Verb, Viewer

RECORDED = "event.recorded"


def record_event(viewer: Viewer, ref: UUID, raw: Mapping[str, Any], *, now: datetime) -> once.Made:
    """Record an event of a horse, and what it changes in the horse's facts.

    ``died`` and ``rehomed`` end the record at the time of the event. An event recorded late changes
    only what no later event has changed since. Nothing happens before birth or after the end.
    """
    horse = doors.horse_for_write(viewer, ref, Verb.RECORD_EVENTS)
    facts = rule.check(raw, now=now)
    content = {"horse": ref, **facts.content()}
    if facts.id is not None:
        first = HorseEvent.objects.filter(organisation_id=viewer.organisation, ref=facts.id).first()
        if first is not None:
            return _replayed(viewer, first, content)
    _require_possible(horse, facts, raw, now)
    recorded, is_new = once.insert(
        HorseEvent(
            organisation_id=viewer.organisation,
            ref=once.new_ref(facts.id),
            horse=horse,
            kind=facts.kind,
            at=facts.at,
            note=facts.note,
            recorded_by_id=viewer.person,
            recorded_at=now,
            content_digest=_digest(viewer, content),
        )
    )
    if not is_new:
        return _replayed(viewer, recorded, content)
    before, hooks = _applied(horse, facts, now)
    if before:
        horses.save(horse, *before)
    # A day of breeding told late changes no word, yet the month that she is in.
    if before or facts.kind in breeding.KINDS:
        after.horse(hooks, viewer, horse, now)
    if facts.kind in rule.VISITS:
        after.horse(after.horse_visited, viewer, horse, now)
    said = {
        **content,
        "changed": once.differences(before, {name: getattr(horse, name) for name in before}),
    }
    return once.made(viewer, verb=RECORDED, target=("event", recorded.ref), content=said, at=now)


def _digest(viewer: Viewer, content: Mapping[str, Any]) -> bytes:
    return once.digest({**content, "recorded_by": audit.actor_of(viewer)})


def _replayed(viewer: Viewer, first: HorseEvent, content: Mapping[str, Any]) -> once.Made:
    if bytes(first.content_digest) != _digest(viewer, content):
        raise errors.Conflict(FieldError("id", "same_id_other_content"))
    receipt = audit.receipt_for(viewer, verb=RECORDED, target_ref=first.ref)
    return once.Made(first.ref, True, receipt)


def _require_possible(
    horse: Horse, facts: rule.EventFacts, raw: Mapping[str, Any], now: datetime
) -> None:
    """Raise Invalid for what this animal cannot have met with, Conflict for a merged row."""
    horses.require_here(horse)
    rule.check(raw, now=now, sex=horse.sex, born_earliest=horse.born_earliest)
    if horse.ended_at is None:
        if facts.kind in rule.GONE and facts.at <= stays.last(horse).from_at:
            raise errors.Invalid(FieldError("at", "before_current_stay"))
        return
    if facts.kind in rule.GONE:
        raise errors.Invalid(FieldError("kind", "already_gone"))
    if facts.at > horse.ended_at:
        key = "after_death" if horse.status == "dead" else "after_departure"
        raise errors.Invalid(FieldError("at", key))


def _applied(
    horse: Horse, facts: rule.EventFacts, now: datetime
) -> tuple[dict[str, Any], list[after.OfHorse]]:
    """Change the horse as the event does; return what stood before, and the hooks to call."""
    changes = dict(rule.changes(facts.kind, sex=horse.sex, breeding=horse.breeding))
    later = HorseEvent.objects.filter(horse=horse, at__gt=facts.at).order_by("at", "id")
    for kind in later.values_list("kind", flat=True):
        for name in rule.changes(kind, sex="mare", breeding="lactating"):
            changes.pop(name, None)
    status = changes.pop("status", "") if horse.ended_at is None else ""
    changes.pop("status", None)
    before = {name: getattr(horse, name) for name in changes}
    for name, value in changes.items():
        setattr(horse, name, value)
    if not status:
        return before, after.horse_changed
    before |= {"status": horse.status, "ended_at": horse.ended_at}
    if status in horse_rule.HERE:
        horse.status = status
        return before, after.horse_changed
    stays.end(horse, status, facts.at, now, "at")
    return before, after.horse_ended
